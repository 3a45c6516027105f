//! Whole degrees and their sines.
//!
//! Nobody reads an adapter or a sling to less than a degree. The sines are a
//! table of millionths, because floating point may differ between machines in
//! its last digit, and a figure on a phone must be the office's figure.

/// A sine of 1.
pub const ONE: u32 = 1_000_000;

/// The sines of 0 to 90 degrees in millionths.
const SINES: [u32; 91] = [
    0, 17_452, 34_899, 52_336, 69_756, 87_156, 104_528, 121_869, 139_173, 156_434, // 0 to 9
    173_648, 190_809, 207_912, 224_951, 241_922, 258_819, 275_637, 292_372, 309_017, 325_568, // 10
    342_020, 358_368, 374_607, 390_731, 406_737, 422_618, 438_371, 453_990, 469_472, 484_810, // 20
    500_000, 515_038, 529_919, 544_639, 559_193, 573_576, 587_785, 601_815, 615_661, 629_320, // 30
    642_788, 656_059, 669_131, 681_998, 694_658, 707_107, 719_340, 731_354, 743_145, 754_710, // 40
    766_044, 777_146, 788_011, 798_636, 809_017, 819_152, 829_038, 838_671, 848_048, 857_167, // 50
    866_025, 874_620, 882_948, 891_007, 898_794, 906_308, 913_545, 920_505, 927_184, 933_580, // 60
    939_693, 945_519, 951_057, 956_305, 961_262, 965_926, 970_296, 974_370, 978_148, 981_627, // 70
    984_808, 987_688, 990_268, 992_546, 994_522, 996_195, 997_564, 998_630, 999_391, 999_848, // 80
    ONE,
];

/// Returns the sine of `degrees` in millionths, of 90 for whatever is above.
pub fn sine(degrees: u16) -> u32 {
    SINES.get(usize::from(degrees)).copied().unwrap_or(ONE)
}

/// Returns the cosine of `degrees` in millionths, of 180 for whatever is above.
pub fn cosine(degrees: u16) -> i64 {
    match degrees {
        0..=90 => sine(90 - degrees).into(),
        _ => -i64::from(sine(degrees - 90)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_what_the_machine_computes() {
        for degrees in 0..=90 {
            let expected = f64::from(degrees).to_radians().sin() * f64::from(ONE);
            assert!((f64::from(sine(degrees)) - expected).abs() <= 0.5, "{degrees}");
        }
        for degrees in 0..=180 {
            let expected = f64::from(degrees).to_radians().cos() * f64::from(ONE);
            assert!((cosine(degrees) as f64 - expected).abs() <= 0.500_001, "{degrees}");
        }
        assert_eq!((sine(30), cosine(90), cosine(180), cosine(999)), (ONE / 2, 0, -1_000_000, -1_000_000));
    }
}
