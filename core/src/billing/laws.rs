//! Laws of billing over made-up work and prices, and one job worked by hand.

use std::collections::BTreeMap;

use super::bill::{Bill, JobBills};
use super::draft::bills;
use super::prices::{Bands, Discount, PriceList, Supplies, Travel, Zone};
use super::rule::{Charge, Holds, Rule};
use super::work::{JobWork, LineWork, PartWork, Piece};
use crate::event::{Activity, Billing, PartFacts, PayType};
use crate::hours::rounding::{self, LengthRule};
use crate::id::{DeviceId, EventId, JobId, LineId, PartId};
use crate::moment::{Day, Length};
use crate::money::tax::{Reason, Tax};
use crate::money::totals::TaxBy;
use crate::money::{Currency, Money, Percent, Price};
use crate::quantity::Count;
use crate::text::{Label, Prose};
use proptest::prelude::*;
use proptest::sample::select;

fn id(seq: u64) -> EventId {
    EventId { device: DeviceId::new([7; 8]), seq }
}

fn day(nth: i64) -> Day {
    Day::parse("2026-05-04").unwrap().plus(nth).unwrap()
}

fn usd(text: &str) -> Money {
    Money::parse(text, Currency::Usd).unwrap()
}

fn price(text: &str) -> Price {
    Price::parse(text).unwrap()
}

fn percent(text: &str) -> Percent {
    Percent::parse(text).unwrap()
}

fn rule<T>(name: &str, holds: Holds, gives: T) -> Rule<T> {
    Rule { name: Label::new(name), holds, gives }
}

fn on(charge: Charge) -> Holds {
    Holds { charge: Some(charge), ..Holds::default() }
}

fn paid(pay: PayType) -> Holds {
    Holds { pay: Some(pay), ..Holds::default() }
}

/// A made-up list: 96 an hour, 40 for travel, 110 under warranty, minimum 60, supplies
/// 8 % up to 25, a tenth off for one customer, 7.25 % on parts and supplies.
fn list() -> PriceList {
    let exempt = Tax::Exempt(Reason::new("labour is not taxed").unwrap());
    let taxed = Tax::standard(percent("7.25")).unwrap();
    let trust = Holds { customer: Some(Label::new("Towpath Trust")), charge: Some(Charge::Time), ..Holds::default() };
    PriceList {
        currency: Currency::Usd,
        rounding: Some(LengthRule::UpToTenth),
        rates: vec![
            rule("shop rate", Holds::default(), price("96")),
            rule("on the road", on(Charge::Activity(Activity::Travel)), price("40")),
            rule("warranty rate", Holds { charge: Some(Charge::Time), ..paid(PayType::Warranty) }, price("110")),
            rule(
                "warranty, on the road",
                Holds { charge: Some(Charge::Activity(Activity::Travel)), ..paid(PayType::Warranty) },
                price("0"),
            ),
        ],
        minimum: vec![rule("callout", paid(PayType::CustomerPay), usd("60"))],
        travel: Travel::ByHour,
        supplies: vec![rule("rags", paid(PayType::CustomerPay), Supplies { rate: percent("8"), cap: Some(usd("25")) })],
        costs: BTreeMap::from([(Label::new("IMP-6"), price("21.40")), (Label::new("HC-32"), price("1.15"))]),
        bands: Bands::new(vec![(price("0"), percent("60")), (price("20"), percent("40"))]),
        discounts: vec![rule("the trust's", trust, Discount::new(percent("10")).unwrap())],
        taxes: vec![
            rule("services", Holds::default(), exempt),
            rule("goods", on(Charge::Parts), taxed.clone()),
            rule("used up", on(Charge::Supplies), taxed),
        ],
        tax_by: TaxBy::Category,
    }
}

fn piece(activity: Activity, nth: i64, minutes: u64, seq: u64) -> Piece {
    Piece { activity, day: day(nth), length: Length::from_ms(minutes * 60_000), from: vec![id(seq)], by: None }
}

fn line(seq: u64, pay: PayType, billing: Billing, complaint: &str, pieces: Vec<Piece>) -> LineWork {
    LineWork { line: LineId(id(seq)), pay, billing, complaint: Prose::new(complaint), pieces }
}

fn part(seq: u64, what: &str, number: &str, count: u32) -> PartWork {
    let facts = PartFacts { what: Label::new(what), number: Label::new(number), count: Count(count) };
    PartWork { part: PartId(id(seq)), facts, day: day(1), by: None }
}

fn job(lines: Vec<LineWork>, parts: Vec<PartWork>) -> JobWork {
    JobWork {
        job: JobId(id(1)),
        title: Label::new("Raw-water pump"),
        boat: Label::new("Heron"),
        customer: Label::new("Towpath Trust"),
        berth: Label::new("Lower Basin 4"),
        technician: Label::new("M. Sluice"),
        finished: Some(day(1)),
        charge: rounding::Charge::default(),
        lines,
        no_line: Vec::new(),
        parts,
    }
}

/// Tells a bill line by line.
fn told(bill: &Bill) -> Vec<String> {
    let line = |line: &super::BillLine| {
        let (quantity, price, net) = (line.quantity, line.price, line.net);
        format!("{} | {} | {quantity} x {price} - {} = {net} {}", line.words, line.rule, line.discount, line.tax.code())
    };
    bill.lines.iter().map(line).collect()
}

fn questions(bills: &JobBills) -> Vec<String> {
    let of_bills = bills.bills.iter().flat_map(|bill| &bill.questions);
    bills.questions.iter().chain(of_bills).map(ToString::to_string).collect()
}

#[test]
fn a_job_worked_by_hand() {
    let pieces = vec![
        piece(Activity::Travel, 0, 25, 10),
        piece(Activity::Labour, 0, 61, 11),
        piece(Activity::Diagnosis, 0, 30, 12),
        piece(Activity::Labour, 1, 40, 13),
    ];
    let work = job(
        vec![line(2, PayType::CustomerPay, Billing::ByClock, "Pump leaks\nsince Easter", pieces)],
        vec![part(20, "impeller", "IMP-6", 1), part(21, "clip", "HC-32", 4)],
    );
    let bills = bills(&work, &list());
    assert_eq!(questions(&bills), [""; 0]);
    let [bill] = bills.bills.as_slice() else { panic!("there is one bill") };
    // 101 minutes are 1.7 h, 30 are 0.5, 25 are 0.5 when rounded up to tenths. Labour after
    // a tenth off: 146.88 + 43.20 = 190.08, of which 8 % are 15.21 (15.2064).
    // 21.40 and 40 % are 29.96; 1.15 and 60 % are 1.84.
    assert_eq!(
        told(bill),
        [
            "labour: Pump leaks | shop rate | 1.7 x 96 - 16.32 = 146.88 E",
            "diagnosis: Pump leaks | shop rate | 0.5 x 96 - 4.80 = 43.20 E",
            "travel: Pump leaks | on the road | 0.5 x 40 - 2.00 = 18.00 E",
            "impeller, IMP-6 |  | 1 x 29.96 - 0.00 = 29.96 S",
            "clip, HC-32 |  | 4 x 1.84 - 0.00 = 7.36 S",
            "shop supplies | rags | 1 x 15.21 - 0.00 = 15.21 S",
        ]
    );
    // Taxed: 29.96 + 7.36 + 15.21 = 52.53, at 7.25 % 3.808425.
    let totals = bill.totals(&list()).unwrap();
    assert_eq!([totals.without_tax, totals.tax, totals.due].map(|it| it.to_string()), ["260.61", "3.81", "264.42"]);
    assert_eq!(bill.lines[0].from, [id(11), id(13)]);
    assert_eq!((bill.lines[0].first, bill.lines[0].last), (day(0), day(1)));
    assert_eq!(bill.lines[5].from, [id(11), id(12), id(13)]);
}

#[test]
fn flat_and_no_charge_and_a_minimum() {
    let short = || vec![piece(Activity::Labour, 0, 5, 10)];
    let flat = line(2, PayType::Warranty, Billing::Flat { minutes: 90 }, "Recall", short());
    let free = line(3, PayType::CustomerPay, Billing::NoCharge, "", short());
    let clock = line(4, PayType::CustomerPay, Billing::ByClock, "", short());
    let bills = bills(&job(vec![flat, free, clock], Vec::new()), &list());
    assert!(bills.are_ready());
    let told: Vec<_> = bills.bills.iter().map(|bill| (bill.pay, told(bill))).collect();
    assert_eq!(
        told,
        [
            (
                PayType::CustomerPay,
                vec![
                    "no charge |  | 0.1 x 0 - 0.00 = 0.00 E".to_owned(),
                    "labour | shop rate | 0.1 x 96 - 0.96 = 8.64 E".to_owned(),
                    "to the minimum charge of 60.00 | callout | 1 x 51.36 - 0.00 = 51.36 E".to_owned(),
                    "shop supplies | rags | 1 x 0.69 - 0.00 = 0.69 S".to_owned(),
                ]
            ),
            (PayType::Warranty, vec!["flat: Recall | warranty rate | 1.5 x 110 - 16.50 = 148.50 E".to_owned()]),
        ]
    );
}

#[test]
fn the_shops_rules_hold_where_the_list_names_no_rounding() {
    let pieces = vec![
        piece(Activity::Travel, 0, 14, 10),
        piece(Activity::Labour, 0, 7, 11),
        piece(Activity::Diagnosis, 0, 4, 12),
    ];
    let charge = rounding::Charge { rule: LengthRule::NearestQuarter, minimum: Length::from_ms(3_600_000) };
    let work = |pay| JobWork { charge, ..job(vec![line(2, pay, Billing::ByClock, "", pieces.clone())], Vec::new()) };
    let list = PriceList { rounding: None, discounts: Vec::new(), supplies: Vec::new(), ..list() };
    let told_of = |pay| told(&bills(&work(pay), &list).bills[0]);
    // 25 minutes are half an hour by quarters. The dearest first: 7 are nothing, with 4 they are 11 and so a
    // quarter, with 14 they are 25 and so a quarter more. Half an hour is missing to the hour, at the rate of labour.
    // 24 + 10 + 48 are 82.
    assert_eq!(
        told_of(PayType::CustomerPay),
        [
            "labour | shop rate | 0 x 96 - 0.00 = 0.00 E",
            "diagnosis | shop rate | 0.25 x 96 - 0.00 = 24.00 E",
            "travel | on the road | 0.25 x 40 - 0.00 = 10.00 E",
            "to the least charge of 1:00 | shop rate | 0.5 x 96 - 0.00 = 48.00 E",
        ]
    );
    assert_eq!(told_of(PayType::Warranty).len(), 3, "only a customer pays the least charge");
}

#[test]
fn a_flat_line_waits_for_its_work() {
    let flat = line(2, PayType::CustomerPay, Billing::Flat { minutes: 60 }, "", Vec::new());
    let open = JobWork { finished: None, ..job(vec![flat.clone()], Vec::new()) };
    assert_eq!(bills(&open, &list()).bills, []);
    assert_eq!(bills(&job(vec![flat], Vec::new()), &list()).bills[0].lines[0].quantity.to_string(), "1");
}

#[test]
fn travel_by_zone_is_charged_by_the_day() {
    let zone = Zone { name: Label::new("basin"), berths: vec![Label::new("Lower Basin 4")], price: price("18.50") };
    let list = PriceList { travel: Travel::ByZone(vec![zone]), discounts: Vec::new(), ..list() };
    let there_and_back = [(0, 20, 10), (0, 20, 11), (1, 90, 12)];
    let pieces = there_and_back.map(|(nth, minutes, seq)| piece(Activity::Travel, nth, minutes, seq)).to_vec();
    let mut work = job(vec![line(2, PayType::CustomerPay, Billing::ByClock, "", pieces)], Vec::new());
    let told_of = |work: &JobWork| told(&bills(work, &list).bills[0]);
    assert_eq!(told_of(&work)[0], "travel, basin | basin | 2 x 18.5 - 0.00 = 37.00 E");
    work.berth = Label::new("Far Reach");
    assert_eq!(
        questions(&bills(&work, &list)),
        ["the berth \"Far Reach\" is in no zone of travel: add it to one in the price list"]
    );
}

#[test]
fn what_is_open_is_asked() {
    let labour = || vec![piece(Activity::Labour, 0, 60, 10)];
    let one = || line(2, PayType::CustomerPay, Billing::ByClock, "", labour());
    let check = |work: JobWork, list: PriceList, asked: &str| {
        let bills = bills(&work, &list);
        assert!(!bills.are_ready());
        assert!(questions(&bills).iter().any(|it| it.contains(asked)), "{:?}", questions(&bills));
    };
    check(
        job(vec![one()], Vec::new()),
        PriceList { rates: Vec::new(), ..list() },
        "no rate holds for labour on 2026-05-04",
    );
    check(job(vec![one()], Vec::new()), PriceList { taxes: Vec::new(), ..list() }, "no tax is named for labour");
    check(job(vec![one()], vec![part(9, "gasket", "", 1)]), list(), "the cost of \"gasket\" is not known");
    check(job(vec![one()], vec![part(9, "gasket", "G-1", 1)]), list(), "the cost of \"gasket, G-1\" is not known");
    let several = vec![one(), line(3, PayType::Warranty, Billing::ByClock, "", Vec::new())];
    check(
        job(several.clone(), vec![part(9, "clip", "HC-32", 1)]),
        list(),
        "\"clip\" is on a job that not just one pays",
    );
    check(JobWork { no_line: labour(), ..job(several, Vec::new()) }, list(), "1:00 of time is on no line");
    check(JobWork { no_line: labour(), ..job(Vec::new(), Vec::new()) }, list(), "1:00 of time is on no line");
    let mut tied = list();
    tied.rates.push(rule(
        "Sluice",
        Holds { technician: Some(Label::new("M. Sluice")), ..Holds::default() },
        price("90"),
    ));
    tied.rates.push(rule(
        "trust",
        Holds { customer: Some(Label::new("Towpath Trust")), ..Holds::default() },
        price("80"),
    ));
    check(job(vec![one()], Vec::new()), tied, "\"Sluice\" and \"trust\" both hold");
}

fn any_piece() -> impl Strategy<Value = Piece> {
    let worked = Activity::ALL.into_iter().filter(|activity| !activity.is_pause()).collect::<Vec<_>>();
    (select(worked), 0i64..4, 1u64..400, 10u64..90)
        .prop_map(|(activity, nth, minutes, seq)| piece(activity, nth, minutes, seq))
}

fn any_job() -> impl Strategy<Value = JobWork> {
    let billing = prop_oneof![
        3 => Just(Billing::ByClock),
        1 => (0u32..600).prop_map(|minutes| Billing::Flat { minutes }),
        1 => Just(Billing::NoCharge),
    ];
    let of = (select(PayType::ALL.to_vec()), billing, prop::collection::vec(any_piece(), 0..6));
    let parts = prop::collection::vec((select(vec!["IMP-6", "HC-32"]), 1u32..9), 0..4);
    (prop::collection::vec(of, 1..4), parts).prop_map(|(lines, parts)| {
        let lines = (2..).zip(lines).map(|(seq, (pay, billing, pieces))| line(seq, pay, billing, "", pieces));
        let parts = (100..).zip(parts).map(|(seq, (number, count))| part(seq, "part", number, count));
        job(lines.collect(), parts.collect())
    })
}

fn due(work: &JobWork) -> Money {
    let all = bills(work, &list()).bills.into_iter().map(|bill| bill.totals(&list()).unwrap().due);
    Money::sum(all, Currency::Usd).unwrap()
}

proptest! {
    #[test]
    fn parts_add_up_and_nothing_is_negative(work in any_job()) {
        for bill in bills(&work, &list()).bills {
            prop_assert!(bill.questions.is_empty());
            let totals = bill.totals(&list()).unwrap();
            let nets = Money::sum(bill.lines.iter().map(|line| line.net), Currency::Usd);
            prop_assert_eq!(nets, Ok(totals.without_tax));
            for line in &bill.lines {
                prop_assert!(!line.net.is_negative() && !line.discount.is_negative());
                prop_assert_eq!(line.net.plus(line.discount), Ok(line.gross));
                prop_assert!(!line.from.is_empty(), "a line knows where it comes from");
            }
        }
    }

    #[test]
    fn every_minute_is_on_one_line(work in any_job()) {
        // With nothing rounded, the hours of the lines are those of the pieces, but for flat lines.
        let exact = PriceList { rounding: Some(LengthRule::Exact), ..list() };
        let (mut billed, mut lines) = (rust_decimal::Decimal::ZERO, 0);
        for line in bills(&work, &exact).bills.iter().flat_map(|bill| &bill.lines) {
            if matches!(line.item, super::Item::Time(..) | super::Item::NoCharge(_)) {
                billed += line.quantity.decimal();
                lines += 1;
            }
        }
        let not_flat = work.lines.iter().filter(|line| !matches!(line.billing, Billing::Flat { .. }));
        let ms: u64 = not_flat.flat_map(|line| &line.pieces).map(|piece| piece.length.ms()).sum();
        let worked = rust_decimal::Decimal::from(ms) / rust_decimal::Decimal::from(3_600_000);
        // Each line shows its hours to four decimals.
        prop_assert!((billed - worked).abs() <= rust_decimal::Decimal::new(5, 5) * rust_decimal::Decimal::from(lines.max(1)));
    }

    #[test]
    fn more_time_and_more_parts_never_cost_less(work in any_job(), at in any::<prop::sample::Index>(), more in any_piece()) {
        let before = due(&work);
        let mut longer = work.clone();
        let nth = at.index(longer.lines.len());
        longer.lines[nth].pieces.push(more);
        prop_assert!(!due(&longer).minus(before).unwrap().is_negative());
        let mut with_part = work;
        with_part.parts.push(part(120, "impeller", "IMP-6", 1));
        prop_assert!(!due(&with_part).minus(before).unwrap().is_negative());
    }

    #[test]
    fn by_the_shops_rule_each_line_is_rounded_as_a_whole_and_more_time_never_costs_less(work in any_job(),
            rule in select(LengthRule::ALL.to_vec()), at in any::<prop::sample::Index>(), more in any_piece()) {
        let shops = PriceList { rounding: None, ..list() };
        let due = |work: &JobWork| {
            let all = bills(work, &shops).bills.into_iter().map(|bill| bill.totals(&shops).unwrap().due);
            Money::sum(all, Currency::Usd).unwrap()
        };
        let work = JobWork { charge: rounding::Charge { rule, minimum: Length::ZERO }, ..work };
        let all: Vec<_> = bills(&work, &shops).bills.into_iter().flat_map(|bill| bill.lines).collect();
        for of in work.lines.iter().filter(|line| line.billing == Billing::ByClock) {
            let hours = all.iter().filter(|line| matches!(line.item, super::Item::Time(id, _) if id == of.line));
            let hours: rust_decimal::Decimal = hours.map(|line| line.quantity.decimal()).sum();
            let whole = rounding::rounded(of.pieces.iter().map(|piece| piece.length).sum(), rule);
            let whole = crate::money::Quantity::hours(whole).decimal();
            // Each shows its hours to four decimals.
            prop_assert!((hours - whole).abs() <= rust_decimal::Decimal::new(3, 4), "{} is not {}", hours, whole);
        }
        let mut longer = work.clone();
        let nth = at.index(longer.lines.len());
        longer.lines[nth].pieces.push(more);
        // Each line's amount is rounded to a cent, and so are discount and tax.
        let cents = Money::parse("0.10", Currency::Usd).unwrap();
        prop_assert!(!due(&longer).plus(cents).unwrap().minus(due(&work)).unwrap().is_negative());
    }

    #[test]
    fn the_order_of_the_list_never_matters(work in any_job()) {
        let mut turned = list();
        turned.rates.reverse();
        turned.taxes.reverse();
        prop_assert_eq!(bills(&work, &list()), bills(&work, &turned));
    }
}
