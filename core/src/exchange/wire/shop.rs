//! The written form of a shop's rules. Lengths are whole milliseconds, times of
//! the day whole minutes after midnight; an absent field means "not chosen".

use super::super::json::{Fields, Json, Wrong};
use crate::event::ShopRules;
use crate::hours::days::DayStart;
use crate::hours::overtime::Overtime;
use crate::hours::rounding::{Charge, LengthRule, PunchRule};
use crate::hours::worked;
use crate::hours::workweek::{Weekday, Workweek};
use crate::moment::{Length, TimeOfDay};

/// Writes a shop's rules.
pub(in super::super) fn rules_form(rules: &ShopRules) -> Fields<'static> {
    let ShopRules { pay, bill, week, overtime, pauses, usual_end } = rules;
    let fields = Fields::default;
    let ms = |length: Length| length.ms();
    fields()
        .put("pay", punch_word(*pay))
        .put("bill", charge_form(*bill))
        .put("week", fields().put("first", weekday_word(week.first)).put("start-minute", week.start.minute()))
        .put(
            "overtime",
            fields()
                .put("weekly-ms", ms(overtime.weekly))
                .put_known("daily-ms", overtime.daily.map(ms))
                .put_known("double-ms", overtime.double.map(ms)),
        )
        .put(
            "pauses",
            fields().put("rest-up-to-ms", ms(pauses.rest_up_to())).put("unpaid-from-ms", ms(pauses.unpaid_from())),
        )
        .put_known("usual-end-minute", usual_end.map(TimeOfDay::minute))
}

/// Writes how lines are billed by the clock.
pub(in super::super) fn charge_form(charge: Charge) -> Fields<'static> {
    Fields::default().put("rule", length_word(charge.rule)).put("minimum-ms", charge.minimum.ms())
}

/// Reads what [`rules_form`] writes.
pub(in super::super) fn rules(of: &mut Fields<'_>) -> Result<ShopRules, Wrong> {
    Ok(ShopRules {
        pay: of.parsed("pay", punch)?,
        bill: of.nested("bill", charge)?,
        week: of.nested("week", |of| {
            let start = DayStart::at_minute(of.number("start-minute")?).ok_or(Wrong::Unfit("start-minute"))?;
            Ok(Workweek { first: of.parsed("first", weekday)?, start })
        })?,
        overtime: of.nested("overtime", |of| {
            let (daily, double) = (known_length(of, "daily-ms")?, known_length(of, "double-ms")?);
            Ok(Overtime { weekly: length(of, "weekly-ms")?, daily, double })
        })?,
        pauses: of.nested("pauses", |of| {
            let (rest, unpaid) = (length(of, "rest-up-to-ms")?, length(of, "unpaid-from-ms")?);
            worked::Rules::of_shop(rest, unpaid).map_err(|_| Wrong::Unfit("pauses"))
        })?,
        usual_end: match of.known("usual-end-minute")? {
            None => None,
            Some(Json::Number(minute)) => {
                let minute = u16::try_from(minute).ok().and_then(TimeOfDay::at_minute);
                Some(minute.ok_or(Wrong::Unfit("usual-end-minute"))?)
            }
            Some(_) => return Err(Wrong::Unfit("usual-end-minute")),
        },
    })
}

/// Reads what [`charge_form`] writes.
pub(in super::super) fn charge(of: &mut Fields<'_>) -> Result<Charge, Wrong> {
    Ok(Charge { rule: of.parsed("rule", length_rule)?, minimum: length(of, "minimum-ms")? })
}

fn length(of: &mut Fields<'_>, name: &'static str) -> Result<Length, Wrong> {
    of.number(name).map(Length::from_ms)
}

fn known_length(of: &mut Fields<'_>, name: &'static str) -> Result<Option<Length>, Wrong> {
    match of.known(name)? {
        None => Ok(None),
        Some(Json::Number(ms)) => Ok(Some(Length::from_ms(ms))),
        Some(_) => Err(Wrong::Unfit(name)),
    }
}

const fn punch_word(rule: PunchRule) -> &'static str {
    match rule {
        PunchRule::Exact => "exact",
        PunchRule::NearestFiveMinutes => "nearest-5-minutes",
        PunchRule::NearestTenth => "nearest-tenth",
        PunchRule::NearestQuarter => "nearest-quarter",
    }
}

fn punch(word: &str) -> Option<PunchRule> {
    PunchRule::ALL.into_iter().find(|&rule| punch_word(rule) == word)
}

const fn length_word(rule: LengthRule) -> &'static str {
    match rule {
        LengthRule::Exact => "exact",
        LengthRule::NearestHundredth => "nearest-hundredth",
        LengthRule::NearestFiveMinutes => "nearest-5-minutes",
        LengthRule::NearestTenth => "nearest-tenth",
        LengthRule::NearestQuarter => "nearest-quarter",
        LengthRule::UpToTenth => "up-to-tenth",
    }
}

fn length_rule(word: &str) -> Option<LengthRule> {
    LengthRule::ALL.into_iter().find(|&rule| length_word(rule) == word)
}

const fn weekday_word(day: Weekday) -> &'static str {
    match day {
        Weekday::Monday => "monday",
        Weekday::Tuesday => "tuesday",
        Weekday::Wednesday => "wednesday",
        Weekday::Thursday => "thursday",
        Weekday::Friday => "friday",
        Weekday::Saturday => "saturday",
        Weekday::Sunday => "sunday",
    }
}

fn weekday(word: &str) -> Option<Weekday> {
    Weekday::ALL.into_iter().find(|&day| weekday_word(day) == word)
}
