//! What counts as hours worked, and by which rule.
//!
//! Everything on the clock is work but pauses that are long enough. Federal rule
//! of the United States: rest periods up to about 20 minutes count (29 CFR
//! 785.18), meal periods of ordinarily 30 minutes or more do not, when the
//! technician is completely relieved from duty (785.19). A shop may count more,
//! never less; each verdict names its rule and who made it.
//!
//! A pause is judged whole, before it is cut at midnight, and one that was tapped
//! twice is one pause. What is said of a pause assumes what the clock was told:
//! who eats and answers the phone was at work, and has to say so.

use super::{Stretch, minutes};
use crate::event::Activity;
use crate::moment::{Length, Moment};

/// Up to this long a rest period counts (29 CFR 785.18).
const REST: Length = minutes(20);
/// From this long on a meal period does not count (29 CFR 785.19).
const MEAL: Length = minutes(30);

/// The lengths at which pauses stop to count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rules {
    rest_up_to: Length,
    unpaid_from: Length,
}

impl Rules {
    /// The federal rule of the United States.
    pub const FEDERAL: Rules = Rules { rest_up_to: REST, unpaid_from: MEAL };

    /// Returns a shop's own rules: rest periods count up to one length, and
    /// longer ones and meal periods do not count from another length on.
    ///
    /// # Errors
    /// Returns [`LessThanTheLaw`] for a length below the federal one.
    pub fn of_shop(rest_up_to: Length, unpaid_from: Length) -> Result<Self, LessThanTheLaw> {
        if rest_up_to < REST {
            return Err(LessThanTheLaw::Rest);
        }
        if unpaid_from < MEAL {
            return Err(LessThanTheLaw::Meal);
        }
        Ok(Self { rest_up_to, unpaid_from })
    }

    /// Returns up to which length rest periods count.
    pub fn rest_up_to(self) -> Length {
        self.rest_up_to
    }

    /// Returns from which length on pauses do not count.
    pub fn unpaid_from(self) -> Length {
        self.unpaid_from
    }

    /// Returns the rule by which time with one activity counts or does not.
    pub fn judge(self, activity: Activity, length: Length) -> Ground {
        match activity {
            Activity::Labour | Activity::Diagnosis | Activity::Paperwork => Ground::Work,
            Activity::Travel | Activity::PartsRun => Ground::Travel,
            Activity::Waiting => Ground::Waiting,
            Activity::RestPeriod if length <= REST => Ground::ShortRest,
            Activity::RestPeriod if length <= self.rest_up_to => Ground::ShopsRest,
            Activity::RestPeriod if length < MEAL => Ground::RestInDoubt,
            Activity::MealPeriod if length < MEAL => Ground::ShortMeal,
            Activity::RestPeriod | Activity::MealPeriod if length < self.unpaid_from => Ground::ShopsPause,
            Activity::RestPeriod => Ground::LongRest,
            Activity::MealPeriod => Ground::Meal,
        }
    }
}

impl Default for Rules {
    fn default() -> Self {
        Self::FEDERAL
    }
}

/// A shop's rule that would count less than the federal one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LessThanTheLaw {
    /// Of rest periods.
    #[error("rest periods up to 20 minutes count as hours worked (29 CFR 785.18): enter 20 minutes or more")]
    Rest,
    /// Of meal periods.
    #[error("pauses under 30 minutes count as hours worked (29 CFR 785.19): enter 30 minutes or more")]
    Meal,
}

/// Why time counts as hours worked, or does not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ground {
    /// It is work.
    Work,
    /// Under way in the course of the day; the way from home is not (29 CFR 785.35, from memory).
    Travel,
    /// Waiting on duty.
    Waiting,
    /// A short rest period.
    ShortRest,
    /// A rest period that the shop counts.
    ShopsRest,
    /// A rest period longer than short and shorter than a meal period.
    RestInDoubt,
    /// A rest period as long as a meal period.
    LongRest,
    /// A meal period that is too short to be one.
    ShortMeal,
    /// A pause that the shop counts.
    ShopsPause,
    /// A meal period.
    Meal,
}

/// Who made a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// A regulation says so.
    Regulation,
    /// The shop says so, in the employee's favour.
    ShopsOwn,
    /// The regulation leaves it to the case; this is how it is read here.
    LeftOpen,
}

impl Standing {
    /// Returns words for the screen.
    pub const fn words(self) -> &'static str {
        match self {
            Standing::Regulation => "regulation",
            Standing::ShopsOwn => "the shop's own rule",
            Standing::LeftOpen => "left to the case by the regulation",
        }
    }
}

impl Ground {
    /// Tells whether the time counts as hours worked.
    pub const fn counts(self) -> bool {
        !matches!(self, Ground::Meal | Ground::LongRest)
    }

    /// Returns who made the rule.
    pub const fn standing(self) -> Standing {
        match self {
            Ground::ShopsRest | Ground::ShopsPause => Standing::ShopsOwn,
            Ground::RestInDoubt | Ground::LongRest => Standing::LeftOpen,
            _ => Standing::Regulation,
        }
    }

    /// Returns the section that the rule stands in or starts from.
    pub const fn source(self) -> &'static str {
        match self {
            Ground::Work => "29 CFR 785.11",
            Ground::Travel => "29 CFR 785.38",
            Ground::Waiting => "29 CFR 785.15",
            Ground::ShortRest | Ground::ShopsRest | Ground::RestInDoubt => "29 CFR 785.18",
            Ground::LongRest => "29 CFR 785.16",
            Ground::ShortMeal | Ground::ShopsPause | Ground::Meal => "29 CFR 785.19",
        }
    }

    /// Returns the rule in a sentence.
    pub const fn words(self) -> &'static str {
        match self {
            Ground::Work => "Work counts, wherever and whenever it is done.",
            Ground::Travel => "Travel in the course of the day's work counts; the way from home and back does not.",
            Ground::Waiting => "Waiting on duty counts, as for a lift or for a customer.",
            Ground::ShortRest => "A rest period up to 20 minutes counts.",
            Ground::ShopsRest => "The shop counts rest periods of this length.",
            Ground::RestInDoubt => "A rest period between 20 and 30 minutes is counted, in the employee's favour.",
            Ground::LongRest => {
                "A rest period of 30 minutes or more is taken to be off duty, if one was free to leave."
            }
            Ground::ShortMeal => "A meal period under 30 minutes counts.",
            Ground::ShopsPause => "The shop counts pauses of this length.",
            Ground::Meal => "A meal period of 30 minutes or more does not count, if one was relieved from all duty.",
        }
    }
}

/// A stretch and the rule by which it counts or does not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Judged {
    /// The time; a pause whole.
    pub stretch: Stretch,
    /// The rule.
    pub ground: Ground,
}

/// Returns stretches with the rule for each; they come earliest first, and uncut.
pub fn judge(stretches: impl IntoIterator<Item = Stretch>, rules: Rules) -> Vec<Judged> {
    let mut whole: Vec<Stretch> = Vec::new();
    for stretch in stretches {
        let goes_on = |last: &&mut Stretch| {
            stretch.activity.is_pause()
                && last.activity == stretch.activity
                && last.to.utc_ms() == stretch.from.utc_ms()
        };
        match whole.last_mut().filter(goes_on) {
            Some(last) => last.to = stretch.to,
            None => whole.push(stretch),
        }
    }
    let ground = |stretch: &Stretch| rules.judge(stretch.activity, stretch.length());
    whole.into_iter().map(|stretch| Judged { ground: ground(&stretch), stretch }).collect()
}

/// Returns the times that count as hours worked, to be put into days and weeks.
pub fn counted(judged: &[Judged]) -> impl Iterator<Item = (Moment, Moment)> {
    judged.iter().filter(|it| it.ground.counts()).map(|it| (it.stretch.from, it.stretch.to))
}

/// Returns the times off the clock between two stretches that are no longer than a
/// rest period that counts.
///
/// They are not counted, since nobody said what was done; someone should ask, for
/// a rest period counts whether the clock ran or not (29 CFR 785.18).
pub fn short_gaps(stretches: &[Stretch], rules: Rules) -> impl Iterator<Item = (Moment, Moment)> {
    let gaps = stretches.windows(2).map(|two| (two[0].to, two[1].from));
    let is_short = move |length: Length| length > Length::ZERO && length <= rules.rest_up_to;
    gaps.filter(move |&(from, to)| to.since(from).is_some_and(is_short))
}

#[cfg(test)]
mod tests {
    use super::*;
    use Activity::*;

    fn at(text: &str) -> Moment {
        Moment::parse(&format!("2026-05-04T{text}:00-04:00")).unwrap()
    }

    /// Returns the stretches of a day told as times and activities, until `end`.
    fn day(taps: &[(&str, Activity)], end: &str) -> Vec<Stretch> {
        let ends = taps.iter().skip(1).map(|tap| tap.0).chain([end]);
        let stretch = |(&(from, activity), to)| Stretch { from: at(from), to: at(to), activity };
        taps.iter().zip(ends).map(stretch).collect()
    }

    fn worked(stretches: &[Stretch], rules: Rules) -> String {
        let judged = judge(stretches.iter().copied(), rules);
        counted(&judged).filter_map(|(from, to)| to.since(from)).sum::<Length>().clock_face()
    }

    #[test]
    fn lengths_at_which_pauses_stop_to_count() {
        for (activity, seconds, expected) in [
            (RestPeriod, 300, Ground::ShortRest),
            (RestPeriod, 20 * 60, Ground::ShortRest),
            (RestPeriod, 20 * 60 + 1, Ground::RestInDoubt),
            (RestPeriod, 30 * 60 - 1, Ground::RestInDoubt),
            (RestPeriod, 30 * 60, Ground::LongRest),
            (MealPeriod, 30 * 60 - 1, Ground::ShortMeal),
            (MealPeriod, 30 * 60, Ground::Meal),
            (Waiting, 5 * 3_600, Ground::Waiting),
            (PartsRun, 5 * 3_600, Ground::Travel),
            (Paperwork, 60, Ground::Work),
        ] {
            let found = Rules::FEDERAL.judge(activity, Length::from_ms(seconds * 1_000));
            assert_eq!(found, expected, "{} {seconds} s", activity.words());
        }
    }

    #[test]
    fn a_shop_may_count_more_and_never_less() {
        let shop = Rules::of_shop(minutes(25), minutes(45)).unwrap();
        for (activity, long, expected) in [
            (RestPeriod, 20, Ground::ShortRest),
            (RestPeriod, 25, Ground::ShopsRest),
            (RestPeriod, 26, Ground::RestInDoubt),
            (RestPeriod, 30, Ground::ShopsPause),
            (RestPeriod, 45, Ground::LongRest),
            (MealPeriod, 29, Ground::ShortMeal),
            (MealPeriod, 44, Ground::ShopsPause),
            (MealPeriod, 45, Ground::Meal),
        ] {
            let found = shop.judge(activity, minutes(long));
            assert_eq!(found, expected, "{} {long}", activity.words());
            assert!(found.counts() || !Rules::FEDERAL.judge(activity, minutes(long)).counts());
        }
        assert_eq!(Rules::of_shop(minutes(19), minutes(30)), Err(LessThanTheLaw::Rest));
        assert_eq!(Rules::of_shop(minutes(20), minutes(29)), Err(LessThanTheLaw::Meal));
        assert_eq!(Rules::of_shop(minutes(20), minutes(30)), Ok(Rules::default()));
    }

    #[test]
    fn each_verdict_names_its_rule_and_who_made_it() {
        let told = |ground: Ground| (ground.counts(), ground.source(), ground.standing().words());
        assert_eq!(told(Ground::ShortRest), (true, "29 CFR 785.18", "regulation"));
        assert_eq!(told(Ground::Meal), (false, "29 CFR 785.19", "regulation"));
        assert_eq!(told(Ground::Waiting), (true, "29 CFR 785.15", "regulation"));
        assert_eq!(told(Ground::ShopsPause), (true, "29 CFR 785.19", "the shop's own rule"));
        assert_eq!(told(Ground::LongRest), (false, "29 CFR 785.16", "left to the case by the regulation"));
    }

    #[test]
    fn the_example_of_29_cfr_785_38() {
        // The section's example: work ends at 5 p.m., another job until 8 p.m., back at the
        // employer's premises at 9 p.m.: all of it is working time. Who goes home from the
        // other job is off the clock at 8 p.m.
        let back = day(&[("08:00", Labour), ("17:00", Travel), ("18:00", Labour), ("20:00", Travel)], "21:00");
        assert_eq!(worked(&back, Rules::FEDERAL), "13:00");
        assert_eq!(worked(&back[..3], Rules::FEDERAL), "12:00");
    }

    #[test]
    fn pauses_are_judged_whole() {
        // Tapped twice, or cut at midnight, it is one meal period of 40 minutes.
        let twice = day(&[("08:00", Labour), ("12:00", MealPeriod), ("12:20", MealPeriod), ("12:40", Labour)], "16:40");
        assert_eq!(worked(&twice, Rules::FEDERAL), "8:00");
        // Work in between makes two short ones, and all of it counts.
        let called =
            day(&[("12:00", MealPeriod), ("12:20", Labour), ("12:25", MealPeriod), ("12:45", Labour)], "13:00");
        assert_eq!(worked(&called, Rules::FEDERAL), "1:00");
        // A rest period is not a meal period's beginning (785.18: it may not be offset).
        let both = day(&[("12:00", RestPeriod), ("12:15", MealPeriod), ("12:45", Labour)], "13:00");
        assert_eq!(worked(&both, Rules::FEDERAL), "0:30");
        // Nor does one after time off the clock go on.
        let mut apart = day(&[("12:00", MealPeriod)], "12:20");
        apart.extend(day(&[("12:30", MealPeriod)], "12:50"));
        assert_eq!(worked(&apart, Rules::FEDERAL), "0:40");
    }
    #[test]
    fn a_short_time_off_the_clock_is_asked_about() {
        let mut taps = day(&[("08:00", Labour)], "10:00");
        taps.extend(day(&[("10:20", Labour)], "12:00"));
        taps.extend(day(&[("12:21", Labour), ("13:00", Travel)], "14:00"));
        let gaps: Vec<_> = short_gaps(&taps, Rules::FEDERAL).collect();
        assert_eq!(gaps, [(at("10:00"), at("10:20"))]);
        assert_eq!(short_gaps(&taps, Rules::of_shop(minutes(21), minutes(30)).unwrap()).count(), 2);
        assert_eq!(worked(&taps, Rules::FEDERAL), "5:19");
    }
}
