//! A week told by hand, and what the glance makes of it.

use super::*;
use crate::event::{BoatFacts, Doing, Event, On};
use crate::exchange::line;
use crate::hours::overtime::Overtime;
use crate::hours::rounding::{Charge, LengthRule, PunchRule};
use crate::id::{BoatId, DeviceId, EventId, JobId, LineId};
use crate::log::Tip;
use crate::text::{Label, Prose};

/// Nothing but a log that is told from May 2026 on.
struct Told {
    book: Book,
    tip: Tip,
}

impl Told {
    fn new() -> Self {
        Self { book: Book::default(), tip: Tip::fresh(DeviceId::new([1; 8])) }
    }

    fn say(&mut self, at: &str, event: Event) -> EventId {
        let id = self.tip.next();
        let (_, sealed) = line::seal(self.tip.record(moment(at), event));
        self.tip.advance(&sealed);
        self.book.apply(&sealed.record);
        assert_eq!(self.book.faults, []);
        id
    }

    /// A job with a line for each pay type.
    fn job(&mut self) -> [LineId; 3] {
        let at = "01 07:00";
        let boat = BoatId(self.say(at, Event::BoatAdded(BoatFacts::default())));
        let job = JobId(self.say(at, Event::JobOpened { boat, engine: None, title: Label::new("No charge") }));
        let complaint = Prose::default;
        PayType::ALL.map(|pay| LineId(self.say(at, Event::LineAdded { job, pay, complaint: complaint() })))
    }

    fn tap(&mut self, at: &str, activity: Activity, on: On) {
        self.say(at, Event::ClockSwitched { to: Doing::At { activity, on } });
    }

    fn off(&mut self, at: &str) {
        self.say(at, Event::ClockSwitched { to: Doing::Off });
    }

    fn card(&self, period: Period, day: &str) -> HoursCard {
        hours_card(&self.book, period, Day::parse(day).unwrap(), moment("31 20:00"))
    }
}

/// A day of May 2026 and a time, with seconds if they matter.
fn moment(text: &str) -> Moment {
    let (day, time) = text.split_once(' ').unwrap();
    let seconds = if time.len() == 5 { ":00" } else { "" };
    Moment::parse(&format!("2026-05-{day}T{time}{seconds}+01:00")).unwrap()
}

fn faces(lengths: &[Length]) -> Vec<String> {
    lengths.iter().map(|length| length.clock_face()).collect()
}

#[test]
fn a_week_by_kind_of_time_by_activity_and_by_who_pays() {
    let mut told = Told::new();
    let [customer, warranty, internal] = told.job();
    // Monday: 2:00 customer, 0:30 travel on no job, 0:15 off, 1:00 internal, 0:40 meal, 1:20 warranty.
    told.tap("04 08:00", Activity::Labour, On::Line(customer));
    told.tap("04 10:00", Activity::Travel, On::NoJob);
    told.off("04 10:30");
    told.tap("04 10:45", Activity::Labour, On::Line(internal));
    told.tap("04 11:45", Activity::MealPeriod, On::NoJob);
    told.tap("04 12:25", Activity::Diagnosis, On::Line(warranty));
    told.off("04 13:45");
    // The Sunday before and the Monday after belong to other weeks.
    told.tap("03 08:00", Activity::Labour, On::NoJob);
    told.off("03 09:00");
    let card = told.card(Period::Week, "2026-05-06");
    assert_eq!((card.title.as_str(), card.days.len()), ("Week from Monday 4 May", 7));
    assert_eq!(faces(&card.days[0].parts), ["3:20", "1:30", "0:40", "0:15"]);
    assert_eq!(faces(&card.sums), ["3:20", "1:30", "0:40", "0:15"]);
    assert_eq!(card.days[0].words, "Mon 4");
    let activities: Vec<_> = card.activities.iter().map(|(it, length)| (it.words(), length.clock_face())).collect();
    let expected = [("labour", "3:00"), ("diagnosis", "1:20"), ("travel", "0:30"), ("meal period", "0:40")];
    assert_eq!(activities, expected.map(|(words, face)| (words, face.to_owned())));
    let lost = "0:15 off the clock between the first and the last activity of a day. One gap is at most 20 minutes: \
                was it a rest period? That would count (29 CFR 785.18).";
    assert_eq!(card.lost.as_deref(), Some(lost));
    let pays: Vec<_> = card.pays.iter().map(|row| [&row.what, &row.clock, &row.billed].map(String::as_str)).collect();
    let expected = [["customer pay", "2:00", "2:00"], ["warranty", "1:20", "1:20"], ["internal", "1:00", "1:00"]];
    assert_eq!(pays, expected);
    // The meal period of 40 minutes does not count; time off the clock does not either.
    assert_eq!(card.weeks.iter().map(|week| week.counted.as_str()).collect::<Vec<_>>(), ["4:50"]);
    assert_eq!(card.before.map(|day| day.to_string()).as_deref(), Some("2026-05-03"));
    assert_eq!(card.after.map(|day| day.to_string()).as_deref(), Some("2026-05-11"));
}

#[test]
fn what_is_shown_in_minutes_adds_up() {
    let mut told = Told::new();
    let [customer, ..] = told.job();
    for day in ["04", "05", "06"] {
        told.tap(&format!("{day} 08:00:00"), Activity::Labour, On::Line(customer));
        told.tap(&format!("{day} 08:10:50"), Activity::Travel, On::NoJob);
        told.off(&format!("{day} 08:21:40"));
    }
    let card = told.card(Period::Week, "2026-05-04");
    // Three days of 21:40 are 65:00.
    assert_eq!(card.sums.iter().copied().sum::<Length>().minutes(), 65);
    assert_eq!(card.days.iter().map(|bar| bar.whole().minutes()).sum::<u64>(), 65);
    assert_eq!(card.activities.iter().map(|(_, length)| length.minutes()).sum::<u64>(), 65);
    for nth in 0..4 {
        assert_eq!(card.days.iter().map(|bar| bar.parts[nth].minutes()).sum::<u64>(), card.sums[nth].minutes());
    }
}

#[test]
fn a_week_is_paid_by_the_shops_rules() {
    // Wage and Hour Division, Fact Sheet 53, example 2: 06:50 to 15:37 with half an hour of
    // unpaid lunch on five days, nearest quarter: 41.25 hours, 1.25 of them over 40.
    let mut told = Told::new();
    for day in ["04", "05", "06", "07", "08"] {
        told.tap(&format!("{day} 06:50"), Activity::Labour, On::NoJob);
        told.tap(&format!("{day} 12:00"), Activity::MealPeriod, On::NoJob);
        told.tap(&format!("{day} 12:30"), Activity::Labour, On::NoJob);
        told.off(&format!("{day} 15:37"));
    }
    let rules = ShopRules { pay: PunchRule::NearestQuarter, ..ShopRules::default() };
    let said = told.say("09 08:00", Event::ShopRulesSet(rules));
    let week = |told: &Told| {
        let card = told.card(Period::Month, "2026-05-20");
        let rows = card.weeks.into_iter().map(|row| [row.words, row.counted, row.paid, row.overtime, row.double]);
        rows.map(|row| row.join(" · ")).collect::<Vec<_>>()
    };
    assert_eq!(week(&told), ["Monday 4 May · 41:25 · 41:15 · 1:15 · 0:00"]);
    // A daily threshold of 7 hours: an hour and a quarter on each day.
    let overtime = Overtime { daily: Some(Length::from_ms(7 * 3_600_000)), ..Overtime::FEDERAL };
    let daily = told.say("09 08:01", Event::ShopRulesSet(ShopRules { overtime, ..rules }));
    assert_eq!(week(&told), ["Monday 4 May · 41:25 · 41:15 · 6:15 · 0:00"]);
    // Taken back, the rules before hold; those taken back too, the federal ones.
    let back = told.say("09 08:02", Event::Withdrawn { event: daily });
    assert_eq!(week(&told), ["Monday 4 May · 41:25 · 41:15 · 1:15 · 0:00"]);
    told.say("09 08:03", Event::Withdrawn { event: said });
    assert_eq!(week(&told), ["Monday 4 May · 41:25 · 41:25 · 1:25 · 0:00"]);
    told.say("09 08:04", Event::Withdrawn { event: back });
    assert_eq!(week(&told), ["Monday 4 May · 41:25 · 41:15 · 6:15 · 0:00"]);
}

#[test]
fn a_meal_is_judged_by_its_true_length_before_anything_is_rounded() {
    // 28 minutes are no meal period (29 CFR 785.19), although they would round to 30.
    let mut told = Told::new();
    told.tap("04 08:00", Activity::Labour, On::NoJob);
    told.tap("04 12:00", Activity::MealPeriod, On::NoJob);
    told.tap("04 12:28", Activity::Labour, On::NoJob);
    told.off("04 16:00");
    told.say("04 17:00", Event::ShopRulesSet(ShopRules { pay: PunchRule::NearestQuarter, ..ShopRules::default() }));
    assert_eq!(told.card(Period::Week, "2026-05-04").weeks[0].paid, "8:00");
}

#[test]
fn bills_are_rounded_line_by_line_and_a_job_has_its_least_charge() {
    let mut told = Told::new();
    let [customer, warranty, _] = told.job();
    told.tap("04 08:00", Activity::Labour, On::Line(customer));
    told.tap("04 08:13", Activity::Labour, On::Line(warranty));
    told.off("04 08:21");
    let bill = Charge { rule: LengthRule::UpToTenth, minimum: Length::from_ms(3_600_000) };
    told.say("04 09:00", Event::ShopRulesSet(ShopRules { bill, ..ShopRules::default() }));
    let rows = told.card(Period::Day, "2026-05-04").pays;
    let rows: Vec<_> = rows.iter().map(|row| [&row.what, &row.clock, &row.billed, &row.difference]).collect();
    // 13 minutes are 0.3 hours for the customer, and 0.7 more to the least charge; 8 are 0.2.
    assert_eq!(rows[0], ["customer pay", "0:13", "1:00", "0:47"]);
    assert_eq!(rows[1], ["warranty", "0:08", "0:12", "0:04"]);
}

#[test]
fn months_and_weeks_have_their_days() {
    let told = Told::new();
    for (day, first, count, title) in [
        ("2026-02-10", "2026-02-01", 28, "February"),
        ("2024-02-29", "2024-02-01", 29, "February 2024"),
        ("2026-05-31", "2026-05-01", 31, "May"),
        ("2026-04-01", "2026-04-01", 30, "April"),
    ] {
        let card = told.card(Period::Month, day);
        assert_eq!((card.days[0].day.to_string().as_str(), card.days.len()), (first, count));
        assert_eq!(card.title, title);
    }
    // The present is May 2026: there is nothing after it yet.
    assert_eq!(told.card(Period::Month, "2026-05-31").after, None);
}

#[test]
fn the_times_of_a_job_add_up_to_its_time() {
    let mut told = Told::new();
    let [line, ..] = told.job();
    let job = told.book.job_of(On::Line(line)).unwrap();
    told.tap("04 08:00:00", Activity::Labour, On::Line(line));
    told.tap("04 11:08:40", Activity::Diagnosis, On::Line(line));
    told.off("04 11:10:20");
    told.tap("05 08:00:00", Activity::Labour, On::Line(line));
    told.off("05 08:00:50");
    let time = super::super::job_time(&told.book, job, moment("05 09:00"));
    assert_eq!(time.total.clock_face(), "3:11");
    let minutes = |lengths: Vec<Length>| lengths.into_iter().map(Length::minutes).collect::<Vec<_>>();
    assert_eq!(minutes(time.by_activity.iter().map(|it| it.1).collect()), [189, 2]);
    assert_eq!(minutes(time.by_day.iter().map(|it| it.1).collect()), [1, 190]);
    assert_eq!(time.today, time.by_day[0].1);
}
