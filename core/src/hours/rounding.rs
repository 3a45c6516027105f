//! Two roundings that are not the same: of starts and stops, and of lengths.
//!
//! **Pay** may round starting and stopping times to the nearest 5 minutes, tenth
//! or quarter of an hour, if over time that pays for all the time worked
//! (29 CFR 785.48(b)): [`punch`], on the local clock. **Bills** round the length
//! of a line, also up, and have minimum charges; that is a matter of the contract
//! with the customer: [`rounded`], [`apportion`] and [`Charge`].
//!
//! Seconds and ties are decided once, in `nearest`: the exact half goes up and
//! nothing is cut off before, so on quarters 7:29.999 goes down and 7:30.000 up.
//! That keeps the agency's rule (Wage and Hour Division, Fact Sheet 53: 1 to 7
//! minutes may go down, 8 to 14 must go up) and leans neither way over time.

use crate::moment::{Length, Moment};
use crate::order;

const MINUTE: u64 = 60_000;
const FIVE_MINUTES: u64 = 5 * MINUTE;
const TENTH: u64 = 6 * 60_000;
const QUARTER: u64 = 15 * 60_000;
const HUNDREDTH: u64 = 36_000;

/// How starts and stops are rounded for pay.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PunchRule {
    /// Not at all.
    #[default]
    Exact,
    /// To the nearest 5 minutes.
    NearestFiveMinutes,
    /// To the nearest tenth of an hour.
    NearestTenth,
    /// To the nearest quarter of an hour.
    NearestQuarter,
}

impl PunchRule {
    /// All, in the order in which they are offered.
    pub const ALL: [PunchRule; 4] =
        [PunchRule::Exact, PunchRule::NearestFiveMinutes, PunchRule::NearestTenth, PunchRule::NearestQuarter];

    /// Returns the distance of the marks in milliseconds.
    const fn step(self) -> u64 {
        match self {
            PunchRule::Exact => 1,
            PunchRule::NearestFiveMinutes => FIVE_MINUTES,
            PunchRule::NearestTenth => TENTH,
            PunchRule::NearestQuarter => QUARTER,
        }
    }
}

/// How lengths are rounded, for bills and for hours in decimals.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LengthRule {
    /// Not at all.
    #[default]
    Exact,
    /// To the nearest hundredth of an hour, as hours with two decimals are.
    NearestHundredth,
    /// To the nearest 5 minutes.
    NearestFiveMinutes,
    /// To the nearest tenth of an hour.
    NearestTenth,
    /// To the nearest quarter of an hour.
    NearestQuarter,
    /// Up to the next tenth of an hour.
    UpToTenth,
}

impl LengthRule {
    /// All, in the order in which they are offered.
    pub const ALL: [LengthRule; 6] = [
        LengthRule::Exact,
        LengthRule::NearestHundredth,
        LengthRule::NearestFiveMinutes,
        LengthRule::NearestTenth,
        LengthRule::NearestQuarter,
        LengthRule::UpToTenth,
    ];

    /// Returns the distance of the marks in milliseconds.
    const fn step(self) -> u64 {
        match self {
            LengthRule::Exact => 1,
            LengthRule::NearestHundredth => HUNDREDTH,
            LengthRule::NearestFiveMinutes => FIVE_MINUTES,
            LengthRule::NearestTenth | LengthRule::UpToTenth => TENTH,
            LengthRule::NearestQuarter => QUARTER,
        }
    }
}

/// Returns a start or a stop at the mark of the local clock that stands for it.
///
/// Round each tap once: then what follows one another still does, and a day's
/// paid time is its last stop less its first. A stop late in the evening may
/// become midnight, which ends the same day.
pub fn punch(at: Moment, rule: PunchRule) -> Moment {
    let offset_ms = i64::from(at.offset_min()) * 60_000;
    let local = at.utc_ms() + offset_ms;
    // West of Greenwich the local clock may still show 1969; such a moment stays.
    let rounded = u64::try_from(local).ok().and_then(|local| i64::try_from(nearest(local, rule.step())).ok());
    rounded.and_then(|local| Moment::new(local - offset_ms, at.offset_min())).unwrap_or(at)
}

/// Returns the length between a start and a stop that are each rounded.
pub fn punched(from: Moment, to: Moment, rule: PunchRule) -> Length {
    punch(to, rule).since(punch(from, rule)).unwrap_or_default()
}

/// Returns a length as it is rounded.
pub fn rounded(length: Length, rule: LengthRule) -> Length {
    Length::from_ms(match rule {
        LengthRule::UpToTenth => length.ms().div_ceil(TENTH) * TENTH,
        _ => nearest(length.ms(), rule.step()),
    })
}

/// Returns lengths so rounded that together they are their rounded sum.
///
/// Each is cut to the mark below; what is then missing goes, one step each, to
/// those that lost most, of equals to the earliest (the largest remainder). So
/// none is a whole step away from its exact length, and nothing stays nothing.
pub fn apportion(lengths: &[Length], rule: LengthRule) -> Vec<Length> {
    let sum = lengths.iter().copied().sum();
    dealt(lengths, rounded(sum, rule), rule.step())
}

/// Returns lengths so rounded that each run of them from the first on is its rounded sum.
///
/// Each gets what the rounded sum grows by when it is added. Unlike [`apportion`],
/// more time anywhere never makes such a run shorter: with the dearest first, what
/// a row of prices comes to never falls when a length grows.
pub fn in_turn(lengths: &[Length], rule: LengthRule) -> Vec<Length> {
    let (mut exact, mut before) = (Length::ZERO, Length::ZERO);
    let grown = |&length: &Length| {
        exact = exact + length;
        let after = rounded(exact, rule);
        super::beyond(after, std::mem::replace(&mut before, after))
    };
    lengths.iter().map(grown).collect()
}

/// Returns lengths in whole steps that add up to `whole`.
fn dealt(lengths: &[Length], whole: Length, step: u64) -> Vec<Length> {
    let cut = |length: &Length| length.ms() / step;
    let missing = (whole.ms() / step).saturating_sub(lengths.iter().map(cut).sum());
    let loss = |&nth: &usize| (lengths[nth] > Length::ZERO, lengths[nth].ms() % step);
    let by_loss = order::last_first((0..lengths.len()).collect(), loss);
    let mut steps: Vec<u64> = lengths.iter().map(cut).collect();
    for nth in by_loss.into_iter().take(usize::try_from(missing).unwrap_or(usize::MAX)) {
        steps[nth] += 1;
    }
    steps.into_iter().map(|count| Length::from_ms(count * step)).collect()
}

/// Returns lengths in whole minutes that add up to their sum, whose begun minute is cut.
pub fn in_minutes(lengths: &[Length]) -> Vec<Length> {
    let sum: Length = lengths.iter().copied().sum();
    shares(lengths, sum)
}

/// Returns lengths in whole minutes that add up to `whole`, which is less
/// than a minute away from their sum; its begun minute is cut. What cutting them loses is dealt as in [`apportion`].
pub fn shares(lengths: &[Length], whole: Length) -> Vec<Length> {
    dealt(lengths, whole, MINUTE)
}

/// What the clock's time is charged as.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Charge {
    /// How its length is rounded.
    pub rule: LengthRule,
    /// What is charged at least for a job that took any time.
    pub minimum: Length,
}

impl Charge {
    /// Returns what is charged for a job of this length; nothing for no time.
    pub fn of_job(self, job: Length) -> Length {
        if job == Length::ZERO { Length::ZERO } else { rounded(job, self.rule).max(self.minimum) }
    }
}

/// Returns the multiple of `step` nearest to `ms`; the exact half goes up.
const fn nearest(ms: u64, step: u64) -> u64 {
    let past = ms % step;
    // Not `ms + step / 2`, which a length near the end of its range would not hold.
    if past < step.div_ceil(2) { ms - past } else { ms.saturating_add(step - past) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn at(text: &str) -> Moment {
        Moment::parse(&format!("2026-05-04T{text}-04:00")).unwrap()
    }

    fn min(minutes: u64) -> Length {
        Length::from_ms(minutes * 60_000)
    }

    /// Returns hours in hundredths.
    fn hundredths(length: Length) -> u64 {
        assert_eq!(length.ms() % HUNDREDTH, 0);
        length.ms() / HUNDREDTH
    }

    #[test]
    fn minutes_past_the_mark() {
        // Minutes; nearest tenth, up to the tenth, nearest quarter, in hundredths of an hour.
        for (minutes, tenth, up, quarter) in [
            (20, 30, 40, 25),
            (21, 40, 40, 25),
            (22, 40, 40, 25),
            (23, 40, 40, 50),
            (37, 60, 70, 50),
            (38, 60, 70, 75),
            (52, 90, 90, 75),
            (53, 90, 90, 100),
        ] {
            let by = |rule| hundredths(rounded(min(minutes), rule));
            assert_eq!(by(LengthRule::NearestTenth), tenth, "{minutes}");
            assert_eq!(by(LengthRule::UpToTenth), up, "{minutes}");
            assert_eq!(by(LengthRule::NearestQuarter), quarter, "{minutes}");
        }
    }

    #[test]
    fn one_to_seven_minutes_go_down_and_eight_to_fourteen_up_fact_sheet_53() {
        for minutes in 1..=14 {
            let expected = if minutes <= 7 { 0 } else { 15 };
            assert_eq!(rounded(min(minutes), LengthRule::NearestQuarter), min(expected), "{minutes}");
            let stop = Moment::new(at("16:00:00").utc_ms() + minutes as i64 * 60_000, -240).unwrap();
            assert_eq!(punch(stop, PunchRule::NearestQuarter).time_of_day(), (16, expected as u8), "{minutes}");
        }
    }

    #[test]
    fn seconds_are_not_cut_and_the_exact_half_goes_up() {
        let quarter = |text| punch(at(text), PunchRule::NearestQuarter).time_of_day();
        assert_eq!(quarter("08:07:29"), (8, 0));
        assert_eq!(quarter("08:07:29.999"), (8, 0));
        assert_eq!(quarter("08:07:30"), (8, 15));
        assert_eq!(quarter("08:07:59"), (8, 15));
        for (ms, expected) in [(449_000, 0), (449_999, 0), (450_000, 15), (479_000, 15)] {
            assert_eq!(rounded(Length::from_ms(ms), LengthRule::NearestQuarter), min(expected), "{ms}");
        }
    }

    #[test]
    fn starts_and_stops_are_not_lengths() {
        for (from, to, by_punch, by_length) in [("08:08:00", "08:22:00", 0, 15), ("08:07:00", "08:23:00", 30, 15)] {
            let length = at(to).since(at(from)).unwrap();
            assert_eq!(punched(at(from), at(to), PunchRule::NearestQuarter), min(by_punch), "{from}");
            assert_eq!(rounded(length, LengthRule::NearestQuarter), min(by_length), "{from}");
        }
    }

    #[test]
    fn fact_sheet_53_example_2_makes_41_25_hours() {
        // Wage and Hour Division, Fact Sheet 53, example 2: shift 07:00 to 15:30, ten minutes
        // early, seven minutes late, half an hour of unpaid lunch, five days.
        let (start, stop) = (at("06:50:00"), at("15:37:00"));
        assert_eq!(punch(start, PunchRule::NearestQuarter).time_of_day(), (6, 45));
        assert_eq!(punch(stop, PunchRule::NearestQuarter).time_of_day(), (15, 30));
        let day = punched(start, stop, PunchRule::NearestQuarter).ms() - min(30).ms();
        assert_eq!(hundredths(Length::from_ms(5 * day)), 4_125);
    }

    #[test]
    fn hours_in_decimals_as_in_opinion_letter_flsa2019_9() {
        // Wage and Hour Division, FLSA2019-9 (2019): hours with six decimals become two.
        for (millionths, expected) in [(7_500_000, 750), (6_784_999, 678), (6_865_000, 687)] {
            let length = Length::from_ms(millionths * 36 / 10);
            assert_eq!(hundredths(rounded(length, LengthRule::NearestHundredth)), expected, "{millionths}");
        }
        // The same letter: it moves a day by no more than 0.3 minutes.
        for ms in (0..HUNDREDTH).chain([6_784_999 * 36 / 10]) {
            let moved = rounded(Length::from_ms(ms), LengthRule::NearestHundredth).ms().abs_diff(ms);
            assert!(moved <= 18_000, "{ms}");
        }
    }

    #[test]
    fn the_grid_is_that_of_the_local_clock() {
        // Kathmandu is 5:45 and the Chatham Islands are 12:45 ahead; Lord Howe is at 10:30.
        for (said, expected) in [
            ("2026-05-04T08:08:00+05:45", "2026-05-04T08:15:00.000+05:45"),
            ("2026-05-04T08:08:00+12:45", "2026-05-04T08:15:00.000+12:45"),
            ("2026-05-04T08:08:00+10:30", "2026-05-04T08:15:00.000+10:30"),
            ("2026-05-04T08:08:00+00:20", "2026-05-04T08:15:00.000+00:20"),
            ("2026-05-04T23:58:00-04:00", "2026-05-05T00:00:00.000-04:00"),
        ] {
            let punched = punch(Moment::parse(said).unwrap(), PunchRule::NearestQuarter);
            assert_eq!(punched.to_string(), expected);
        }
        let first = Moment::new(60_000, -60).unwrap();
        assert_eq!(punch(first, PunchRule::NearestQuarter), first);
    }

    #[test]
    fn a_short_job_has_a_minimum_charge() {
        let charge = Charge { rule: LengthRule::UpToTenth, minimum: min(60) };
        assert_eq!(charge.of_job(min(12)), min(60));
        assert_eq!(charge.of_job(min(61)), min(66));
        assert_eq!(charge.of_job(Length::ZERO), Length::ZERO);
        assert_eq!(Charge::default().of_job(Length::from_ms(1)), Length::from_ms(1));
    }

    #[test]
    fn the_missing_step_goes_to_the_largest_remainder() {
        let day = [min(20), min(20), min(20)];
        assert_eq!(apportion(&day, LengthRule::NearestQuarter), [min(30), min(15), min(15)]);
        assert_eq!(apportion(&[min(2), min(4), min(0)], LengthRule::NearestTenth), [min(0), min(6), min(0)]);
        assert_eq!(apportion(&[], LengthRule::UpToTenth), []);
    }

    #[test]
    fn shown_minutes_add_up_to_the_shown_sum() {
        let seconds = |all: &[u64]| all.iter().map(|&s| Length::from_ms(s * 1_000)).collect::<Vec<_>>();
        // 1:50 and 1:50 are 3:40: three minutes, two of them with the first.
        assert_eq!(in_minutes(&seconds(&[110, 110])), [min(2), min(1)]);
        assert_eq!(in_minutes(&seconds(&[0, 59, 60, 1])), [min(0), min(1), min(1), min(0)]);
        assert_eq!(shares(&seconds(&[0, 90, 60]), min(3)), [min(0), min(2), min(1)]);
        assert_eq!(in_minutes(&[]), []);
    }

    /// Returns numbers below `end` that look like chance (Knuth, volume 2, 3.3.4).
    fn chance(seed: u64, end: u64) -> impl Iterator<Item = u64> {
        let mut state = seed;
        std::iter::from_fn(move || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            Some(((u128::from(state >> 16) * u128::from(end)) >> 48) as u64)
        })
    }

    #[test]
    fn over_a_long_history_the_nearest_mark_pays_for_all_the_time() {
        // An error of one rounding spreads evenly over a step, so its standard deviation is
        // step / sqrt(12); the mean of n of them stays within five times that over sqrt(n).
        const TAPS: u64 = 40_000;
        let bound = |step: u64| (5.0 * step as f64 / 12_f64.sqrt() / (TAPS as f64).sqrt()) as i64;
        for seed in 1..=8 {
            for rule in LengthRule::ALL.into_iter().filter(|&rule| rule != LengthRule::UpToTenth) {
                let errors = chance(seed, 36_000_000).take(TAPS as usize).map(|ms| {
                    i64::try_from(rounded(Length::from_ms(ms), rule).ms()).unwrap() - i64::try_from(ms).unwrap()
                });
                let mean = errors.sum::<i64>() / TAPS as i64;
                assert!(mean.abs() <= bound(rule.step()), "{rule:?}: {mean} ms a length");
            }
            for rule in PunchRule::ALL {
                // A day of work from some time of the morning, to the whole minute as people mend it.
                let starts = chance(seed, 240).zip(chance(seed + 100, 600)).take(TAPS as usize);
                let errors = starts.map(|(start, long)| {
                    let from = at("06:00:00").utc_ms() + start as i64 * 60_000;
                    let [from, to] = [from, from + long as i64 * 60_000].map(|ms| Moment::new(ms, -240).unwrap());
                    punched(from, to, rule).ms() as i64 - min(long).ms() as i64
                });
                let mean = errors.sum::<i64>() / TAPS as i64;
                // Two roundings: their variances add.
                assert!(mean.abs() <= bound(rule.step()) * 3 / 2, "{rule:?}: {mean} ms a day");
            }
        }
    }

    #[test]
    fn lengths_in_whole_minutes_lean_by_half_a_minute_on_tenths_only() {
        // The tie at three minutes goes up, to the favour of whoever worked.
        for (rule, minutes, lean) in [
            (LengthRule::NearestFiveMinutes, 5, 0),
            (LengthRule::NearestTenth, 6, 3),
            (LengthRule::NearestQuarter, 15, 0),
        ] {
            let moved = |minute| rounded(min(minute), rule).ms() as i64 - min(minute).ms() as i64;
            assert_eq!((0..minutes).map(moved).sum::<i64>(), lean * 60_000, "{rule:?}");
        }
    }

    fn any_rule() -> impl Strategy<Value = LengthRule> {
        (0..LengthRule::ALL.len()).prop_map(|nth| LengthRule::ALL[nth])
    }

    proptest! {
        #[test]
        fn rounded_parts_add_up_to_the_rounded_day(parts in prop::collection::vec(prop_oneof![
            0..40_000_000_u64, (0..600_u64).prop_map(|minutes| minutes * 60_000)], 0..40), rule in any_rule()) {
            let parts: Vec<_> = parts.into_iter().map(Length::from_ms).collect();
            let shares = apportion(&parts, rule);
            prop_assert_eq!(shares.iter().copied().sum::<Length>(), rounded(parts.iter().copied().sum(), rule));
            for (share, part) in shares.iter().zip(&parts) {
                prop_assert_eq!(share.ms() % rule.step(), 0);
                prop_assert!(share.ms().abs_diff(part.ms()) < rule.step());
                prop_assert!(*part > Length::ZERO || *share == Length::ZERO);
            }
        }

        #[test]
        fn each_run_in_turn_is_its_rounded_sum_and_never_falls(parts in prop::collection::vec(0..40_000_000_u64, 1..20),
                more in 0..40_000_000_u64, at in any::<prop::sample::Index>(), rule in any_rule()) {
            let mut parts: Vec<_> = parts.into_iter().map(Length::from_ms).collect();
            let before = in_turn(&parts, rule);
            for end in 0..=parts.len() {
                let run: Length = before[..end].iter().copied().sum();
                prop_assert_eq!(run, rounded(parts[..end].iter().copied().sum(), rule));
            }
            let at = at.index(parts.len());
            parts[at] = parts[at] + Length::from_ms(more);
            let after = in_turn(&parts, rule);
            for end in 0..=parts.len() {
                prop_assert!(after[..end].iter().copied().sum::<Length>() >= before[..end].iter().copied().sum());
            }
        }

        #[test]
        fn a_mark_stays_and_the_nearest_is_within_half_a_step(ms in any::<u64>().prop_map(|ms| ms >> 8), rule in any_rule()) {
            let length = Length::from_ms(ms);
            let found = rounded(length, rule);
            prop_assert_eq!(rounded(found, rule), found);
            match rule {
                LengthRule::UpToTenth => prop_assert!(found >= length && found.ms() - ms < TENTH),
                _ => prop_assert!(found.ms().abs_diff(ms) * 2 <= rule.step()),
            }
        }

        #[test]
        fn rounded_taps_still_follow_one_another(steps in prop::collection::vec(0..20_000_000_i64, 2..40), nth in 0..4_usize) {
            let mut now = 1_770_000_000_000;
            let taps: Vec<_> = steps.into_iter().map(|step| { now += step; Moment::new(now, 60).unwrap() }).collect();
            let rule = PunchRule::ALL[nth];
            let day = punched(taps[0], taps[taps.len() - 1], rule);
            prop_assert_eq!(taps.windows(2).map(|two| punched(two[0], two[1], rule)).sum::<Length>(), day);
        }
    }
}
