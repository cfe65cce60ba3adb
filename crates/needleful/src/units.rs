//! Quantities that carry their unit: lengths, linear densities, fabric counts, shares.

use crate::error::{Code, Place, Problem};
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Sub, SubAssign};

/// Millimetres in an inch *(source: exact by the international yard, 0.9144 m)*.
pub const MM_PER_INCH: f64 = 25.4;
/// Product of tex and the cotton count Ne *(source: ASTM D2260; exact from 1 yd = 0.9144 m and
/// 1 lb = 453.59237 g: 453.59237 g / (840 yd) in g/km)*.
pub const TEX_TIMES_NE: f64 = 453.592_37e3 / (840.0 * 0.9144);
/// Product of tex and the metric count Nm *(source: ASTM D2260)*.
pub const TEX_TIMES_NM: f64 = 1000.0;
/// Denier in a tex *(source: ASTM D2260)*.
pub const DENIER_PER_TEX: f64 = 9.0;

/// A number within limits, or a problem that names the parameter, the value and the limits.
///
/// # Errors
/// [`Code::OutOfRange`] when `value` is not a number or outside `least..=most`.
pub fn within(name: &str, unit: &str, value: f64, least: f64, most: f64) -> Result<f64, Problem> {
    if value >= least && value <= most {
        return Ok(value);
    }
    let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
    Err(Problem::new(
        Code::OutOfRange,
        Place::Part(name.to_owned()),
        format!("{value}{unit} is outside its limits"),
        format!("give a value from {least} to {most}{unit}"),
    ))
}

/// A length of thread, in whole picometres, so that sums are exact in any order.
///
/// # Units
/// Picometres inside; millimetres and metres on the faces.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(i64);

impl Length {
    /// No length.
    pub const ZERO: Length = Length(0);
    /// The largest length that can be held, some 9,200 km.
    pub const MAX: Length = Length(i64::MAX);

    /// From picometres.
    pub const fn from_pm(pm: i64) -> Self {
        Length(pm)
    }

    /// From millimetres, rounded once to the nearest picometre.
    pub fn from_mm(mm: f64) -> Self {
        Length::round_pm(mm * 1e9)
    }

    /// From a number of picometres, rounded: floor(x + 0.5).
    pub(crate) fn round_pm(pm: f64) -> Self {
        let pm = pm + 0.5;
        // `as` cuts towards zero, and saturates where no check has been.
        let whole = pm as i64;
        Length(whole - i64::from(whole as f64 > pm))
    }

    /// The same of a number that is not negative, which is quicker.
    pub(crate) fn round_positive_pm(pm: f64) -> Self {
        Length((pm + 0.5) as i64)
    }

    /// The least length whose number of millimetres is at least `mm`.
    pub(crate) fn above_mm(mm: f64) -> Self {
        let near = Length::from_mm(mm).0;
        let fits = (near - 2..=near + 2).find(|&pm| Length(pm).mm() >= mm);
        Length(fits.unwrap_or(near))
    }

    /// In picometres.
    pub const fn pm(self) -> i64 {
        self.0
    }

    /// In millimetres.
    pub fn mm(self) -> f64 {
        self.0 as f64 / 1e9
    }

    /// In metres.
    pub fn metres(self) -> f64 {
        self.0 as f64 / 1e12
    }

    /// The sum, unless it is too large to be held.
    pub fn plus(self, other: Length) -> Option<Self> {
        self.0.checked_add(other.0).map(Length)
    }

    /// So many times the length, unless that is too large to be held.
    pub fn times(self, times: i64) -> Option<Self> {
        self.0.checked_mul(times).map(Length)
    }

    /// Half, rounded down.
    pub const fn half(self) -> Self {
        Length(self.0 >> 1)
    }
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(self.0 + other.0)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Length) {
        self.0 += other.0;
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length(self.0 - other.0)
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Length) {
        self.0 -= other.0;
    }
}

impl Mul<i64> for Length {
    type Output = Length;
    fn mul(self, times: i64) -> Length {
        Length(self.0 * times)
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Length>>(lengths: I) -> Length {
        lengths.fold(Length::ZERO, Add::add)
    }
}

/// Mass of thread per length.
///
/// # Units
/// Tex inside: grams per kilometre.
///
/// # Sources
/// ASTM D2260 for the conversions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinearDensity(f64);

impl LinearDensity {
    /// From tex, 0.1 to 100,000.
    ///
    /// # Errors
    /// [`Code::OutOfRange`].
    pub fn from_tex(tex: f64) -> Result<Self, Problem> {
        within("linear density", "tex", tex, 0.1, 100_000.0).map(LinearDensity)
    }

    /// From the English cotton count.
    ///
    /// # Errors
    /// [`Code::OutOfRange`], in tex.
    pub fn from_ne(ne: f64) -> Result<Self, Problem> {
        LinearDensity::from_tex(TEX_TIMES_NE / ne)
    }

    /// From the metric count (metres per gram).
    ///
    /// # Errors
    /// [`Code::OutOfRange`], in tex.
    pub fn from_nm(nm: f64) -> Result<Self, Problem> {
        LinearDensity::from_tex(TEX_TIMES_NM / nm)
    }

    /// From denier (grams per 9 km).
    ///
    /// # Errors
    /// [`Code::OutOfRange`], in tex.
    pub fn from_denier(denier: f64) -> Result<Self, Problem> {
        LinearDensity::from_tex(denier / DENIER_PER_TEX)
    }

    /// In tex.
    pub fn tex(self) -> f64 {
        self.0
    }

    /// As the English cotton count.
    pub fn ne(self) -> f64 {
        TEX_TIMES_NE / self.0
    }

    /// As the metric count.
    pub fn nm(self) -> f64 {
        TEX_TIMES_NM / self.0
    }

    /// In denier.
    pub fn denier(self) -> f64 {
        self.0 * DENIER_PER_TEX
    }
}

/// Threads, blocks or holes of a fabric per inch, in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Count(f64);

impl Count {
    /// From a count per inch, 1 to 200.
    ///
    /// # Errors
    /// [`Code::OutOfRange`].
    pub fn per_inch(count: f64) -> Result<Self, Problem> {
        within("fabric count", "per inch", count, 1.0, 200.0).map(Count)
    }

    /// From a count per 10 cm.
    ///
    /// # Errors
    /// [`Code::OutOfRange`], per inch.
    pub fn per_10_cm(count: f64) -> Result<Self, Problem> {
        Count::per_inch(count * 0.254)
    }

    /// Per inch.
    pub fn inch(self) -> f64 {
        self.0
    }

    /// Distance between neighbouring threads, in millimetres.
    pub fn pitch_mm(self) -> f64 {
        MM_PER_INCH / self.0
    }
}

/// A share of something, in whole millionths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Share(u32);

impl Share {
    /// From a factor, 0 to 100.
    ///
    /// # Errors
    /// [`Code::OutOfRange`].
    pub fn new(name: &str, factor: f64) -> Result<Self, Problem> {
        within(name, "", factor, 0.0, 100.0).map(|f| Share((f * 1e6 + 0.5).floor() as u32))
    }

    /// From millionths.
    pub const fn from_millionths(millionths: u32) -> Self {
        Share(millionths)
    }

    /// As a factor.
    pub fn factor(self) -> f64 {
        f64::from(self.0) / 1e6
    }

    /// The least whole number that is at least `1 + share` times `count`.
    pub fn added_to(self, count: u64) -> u64 {
        count + self.of(count)
    }

    /// The least whole number that is at least `share` times `count`.
    pub fn of(self, count: u64) -> u64 {
        let product = u128::from(count) * u128::from(self.0);
        u64::try_from(product.div_ceil(1_000_000)).unwrap_or(u64::MAX)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: ASTM D2260, conversion factors; 590.5412474 worked from its exact units.
    #[test]
    fn linear_densities_convert() {
        assert!((TEX_TIMES_NE - 590.541_247_4).abs() < 1e-7);
        let ne25 = LinearDensity::from_ne(25.0).unwrap();
        assert!((ne25.tex() - 23.621_650).abs() < 5e-7);
        assert!((ne25.ne() - 25.0).abs() < 1e-12);
        assert!((LinearDensity::from_denier(9.0).unwrap().tex() - 1.0).abs() < 1e-15);
        assert!((LinearDensity::from_nm(50.0).unwrap().tex() - 20.0).abs() < 1e-15);
    }

    #[test]
    fn counts_that_are_no_counts_are_refused() {
        for bad in [0.0, -14.0, f64::NAN, f64::INFINITY, 1e9] {
            let problem = Count::per_inch(bad).unwrap_err();
            assert_eq!(problem.code, Code::OutOfRange);
            assert!(problem.to_string().contains("from 1 to 200 per inch"), "{problem}");
        }
        assert!((Count::per_10_cm(110.0).unwrap().inch() - 27.94).abs() < 1e-12);
    }

    #[test]
    fn shares_round_up() {
        let two_percent = Share::new("waste", 0.02).unwrap();
        assert_eq!(two_percent.added_to(50), 51);
        assert_eq!(two_percent.added_to(51), 53);
        assert_eq!(Share::from_millionths(1_100_000).of(10), 11);
    }
}
