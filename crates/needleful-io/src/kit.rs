//! What is supplied, from its fields to the core's values.

use crate::material::length;
use crate::names::{Names, exactly_one};
use crate::text::{self, owner, problem};
use crate::wire;
use needleful::supply::{Form, Kit, Supply};
use needleful::thread::Bead;
use needleful::units::Share;
use needleful::{Code, Problem, Problems, limits};

/// The kit; every problem goes to `found`. `beads` are the design's, as far as they are sound.
pub(crate) fn kit(
    wire: &wire::Kit,
    shades: &Names<'_>,
    bead_names: &Names<'_>,
    beads: &[Option<Bead>],
    found: &mut Problems,
) -> Kit {
    let tight_below = wire
        .tight_below
        .map(|bound| Share::new("tight_below", bound).map_err(|problem| text::of("kit", problem)));
    let mut kit = Kit {
        thread: Vec::with_capacity(wire.thread.len()),
        beads: vec![0; beads.len()],
        tight_below: found.note(tight_below.transpose()).flatten().unwrap_or(Kit::TIGHT_BELOW),
        count_other_lots: wire.count_other_lots.unwrap_or(true),
    };
    for supply in &wire.thread {
        let owner = format!("kit, {}", owner("shade", &supply.shade));
        let shade = found.note(shades.find(&supply.shade, &owner));
        let form = found.note(form(supply, &owner));
        if let (Some(shade), Some(form)) = (shade, form) {
            kit.thread.push(Supply { shade, form, other_lot: supply.other_lot });
        }
    }
    for supply in &wire.beads {
        let owner = format!("kit, {}", owner("bead", &supply.bead));
        let index = found.note(bead_names.find(&supply.bead, &owner));
        let packet = index.and_then(|index| Some(beads.get(index)?.as_ref()?.packet));
        let pieces = found.note(pieces(supply, packet.unwrap_or(0), &owner));
        if let Some(total) = index.and_then(|index| kit.beads.get_mut(index)) {
            *total = total.saturating_add(pieces.unwrap_or(0));
        }
    }
    kit
}

fn form(supply: &wire::ThreadSupply, owner: &str) -> Result<Form, Problem> {
    let metres =
        |field: &str, metres: f64| length(field, metres * 1000.0).map_err(|problem| text::of(owner, problem));
    let lengths = supply.lengths.as_ref().map(|cut| {
        let length = metres("lengths", cut.length_m)?;
        Ok(Form::Lengths { count: cut.count, length, strands: cut.strands })
    });
    exactly_one(
        Code::WrongShape,
        owner,
        [
            ("put_ups", supply.put_ups.map(|count| Ok(Form::PutUps(count)))),
            ("lengths", lengths),
            ("metres", supply.metres.map(|piece| metres("metres", piece).map(Form::Metres))),
        ],
    )?
}

fn pieces(supply: &wire::BeadSupply, packet: u32, owner: &str) -> Result<u64, Problem> {
    if supply.packets.is_none() && supply.pieces.is_none() {
        let what = "neither packets nor pieces are given";
        return Err(problem(Code::WrongShape, owner, what, "give packets, pieces, or both"));
    }
    let (packets, pieces) = (supply.packets.unwrap_or(0), supply.pieces.unwrap_or(0));
    for (name, count) in [("packets", packets), ("pieces", pieces)] {
        if count > limits::PIECES {
            let mend = format!("give at most {}", limits::PIECES);
            return Err(problem(Code::OutOfRange, owner, format!("{count} {name}"), mend));
        }
    }
    Ok(u64::from(packets) * u64::from(packet) + u64::from(pieces))
}
