//! The `needleful` command: estimate, check and validate a project file.
//!
//! Results go to standard output, problems to standard error. Exit codes: 0 completed, 1 only with
//! `--fail-if-short` and a short kit, 2 usage, 3 bad input.

#![forbid(unsafe_code)]

mod checklist;
mod materials;
mod page;

use clap::{Parser, Subcommand};
use needleful::{Code, Design, Place, Problem, Problems, check_kit, estimate};
use needleful_io::Project;
use needleful_io::result::{ProblemsResult, check_result, estimate_result};
use serde::Serialize;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

const SHORT: u8 = 1;
const BAD_INPUT: u8 = 3;

/// How much of every thread a counted-thread design takes, and whether the supply is enough.
#[derive(Parser)]
#[command(name = "needleful", version, max_term_width = 80)]
struct Words {
    #[command(subcommand)]
    job: Job,
}

#[derive(Subcommand)]
enum Job {
    /// What every shade takes, and what to buy.
    Estimate {
        /// The project file, TOML or JSON.
        file: PathBuf,
        /// Every needle as well: needlefuls, the least possible, and as you stitch.
        #[arg(long)]
        needles: bool,
        /// JSON, every figure with its unit.
        #[arg(long)]
        json: bool,
    },
    /// The same, and whether the kit's supply of every shade is enough.
    Check {
        /// The project file, TOML or JSON, with its kit.
        file: PathBuf,
        /// Every needle as well: needlefuls, the least possible, and as you stitch.
        #[arg(long)]
        needles: bool,
        /// Exit with 1 when anything is short.
        #[arg(long)]
        fail_if_short: bool,
        /// JSON, every figure with its unit.
        #[arg(long)]
        json: bool,
    },
    /// Whether the file can be worked; every problem with its place and its mend.
    Validate {
        /// The project file, TOML or JSON.
        file: PathBuf,
        /// JSON.
        #[arg(long)]
        json: bool,
    },
}

fn main() -> ExitCode {
    let words = Words::parse();
    let (file, json, outcome) = match &words.job {
        Job::Estimate { file, needles, json } => (file, *json, run_estimate(file, *needles, *json)),
        Job::Check { file, needles, fail_if_short, json } => {
            (file, *json, run_check(file, *needles, *fail_if_short, *json))
        }
        Job::Validate { file, json } => (file, *json, run_validate(file, *json)),
    };
    outcome.unwrap_or_else(|problems| {
        report(file, json, &problems);
        ExitCode::from(BAD_INPUT)
    })
}

fn run_estimate(file: &Path, needles: bool, json: bool) -> Result<ExitCode, Problems> {
    let Project { design, .. } = needleful_io::read_path(file)?;
    let estimate = estimate(&design)?;
    let result = estimate_result(&design, &estimate)?;
    if json {
        write_json(&result)?;
    } else {
        write_page(&materials::page(&design, &result, needles))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn run_check(file: &Path, needles: bool, fail_if_short: bool, json: bool) -> Result<ExitCode, Problems> {
    let Project { design, kit } = needleful_io::read_path(file)?;
    let kit = kit.ok_or_else(no_kit)?;
    let check = check_kit(&design, &kit)?;
    let result = check_result(&design, &check)?;
    if json {
        write_json(&result)?;
    } else {
        write_page(&checklist::page(&design, &result, needles))?;
    }
    Ok(if fail_if_short && check.is_short() { ExitCode::from(SHORT) } else { ExitCode::SUCCESS })
}

/// Everything that an estimate or a check would refuse, and nothing else.
fn run_validate(file: &Path, json: bool) -> Result<ExitCode, Problems> {
    let Project { design, kit } = needleful_io::read_path(file)?;
    estimate_result(&design, &estimate(&design)?)?;
    if let Some(kit) = kit {
        check_kit(&design, &kit)?;
    }
    if json {
        write_json(&ProblemsResult::from(&Problems::new()))?;
    } else {
        write_page(&sound(file, &design))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn sound(file: &Path, design: &Design) -> String {
    let count = |n: usize, one: &str| format!("{n} {one}{}", if n == 1 { "" } else { "s" });
    format!(
        "{}: sound. {}, {}, {}.\n",
        file.display(),
        count(design.layers.len(), "layer"),
        count(design.needles.len(), "needle"),
        count(design.shades.len(), "shade"),
    )
}

fn no_kit() -> Problem {
    Problem::new(
        Code::WrongShape,
        Place::Part("kit".into()),
        "the project file says nothing of a supply",
        "add [kit] with what is supplied, or ask for an estimate",
    )
}

fn write_json(result: &impl Serialize) -> Result<(), Problems> {
    let text = serde_json::to_string_pretty(result).map_err(|error| cannot_write(&error))?;
    write_page(&(text + "\n"))
}

/// Writes to standard output, with colour only where that is a terminal.
fn write_page(page: &str) -> Result<(), Problems> {
    let mut out = anstream::stdout().lock();
    out.write_all(page.as_bytes()).and_then(|()| out.flush()).map_err(|error| cannot_write(&error).into())
}

fn cannot_write(error: &dyn std::fmt::Display) -> Problem {
    let what = format!("the result cannot be written: {error}");
    Problem::new(Code::CannotWrite, Place::Part("output".into()), what, "give it somewhere to go")
}

/// Tells the problems on standard error. What cannot be told there is lost with it.
fn report(file: &Path, json: bool, problems: &Problems) {
    let mut out = anstream::stderr().lock();
    let told = if json {
        serde_json::to_string_pretty(&ProblemsResult::from(problems)).unwrap_or_default() + "\n"
    } else {
        problems.to_string().lines().map(|line| format!("{}: {line}\n", file.display())).collect()
    };
    let _ = out.write_all(told.as_bytes());
}
