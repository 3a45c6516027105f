//! Two technicians' weeks, and what a desk sees of them; figures worked by hand.

use std::collections::{BTreeMap, BTreeSet};

use super::*;
use crate::billing::bill::Item;
use crate::billing::outgoing::{Gone, Outgoing};
use crate::billing::{PriceList, bills, work};
use crate::event::*;
use crate::exchange::{html, line, looking, pieces, prices};
use crate::id::*;
use crate::log::Tip;
use crate::money::{Currency, Money};
use crate::quantity::{Count, EngineHours};
use crate::reassembly::gate::Need;
use crate::text::Prose;
use expect_test::expect;

/// A technician's phone in a summer of London.
pub(super) struct Phone {
    who: Label,
    own: BTreeSet<DeviceId>,
    tip: Tip,
    book: Book,
    now: Moment,
}

impl Phone {
    pub(super) fn of(device: u8, who: &str) -> Self {
        let tip = Tip::fresh(DeviceId::new([device; 8]));
        let now = Moment::parse("2026-05-04T07:00:00+01:00").unwrap();
        let own = BTreeSet::from([tip.device]);
        let mut phone = Self { who: Label::new(who), own, tip, book: Book::default(), now };
        let (name, shop) = (Label::new(who), Label::new("Lower Basin"));
        phone.say("04 07:00", Event::TechnicianNamed { name, shop });
        phone
    }

    /// Says an event on a day of May at a time: `04 08:00`.
    pub(super) fn say(&mut self, at: &str, event: Event) -> EventId {
        self.now = moment(at);
        let (_, sealed) = line::seal(self.tip.record(self.now, event));
        self.tip.advance(&sealed);
        self.book.apply(&sealed.record);
        sealed.record.id
    }

    pub(super) fn boat(&mut self, at: &str, name: &str, owner: &str, hin: &str) -> BoatId {
        let [name, owner, hin] = [name, owner, hin].map(Label::new);
        BoatId(self.say(at, Event::BoatAdded(BoatFacts { name, owner, hin, berth: Label::default() })))
    }

    pub(super) fn job(&mut self, at: &str, boat: BoatId, title: &str, pay: PayType) -> (JobId, LineId) {
        let job = JobId(self.say(at, Event::JobOpened { boat, engine: None, title: Label::new(title) }));
        (job, LineId(self.say(at, Event::LineAdded { job, pay, complaint: Prose::new(title) })))
    }

    pub(super) fn does(&mut self, at: &str, activity: Activity, on: On) -> EventId {
        self.say(at, Event::ClockSwitched { to: Doing::At { activity, on } })
    }

    pub(super) fn stops(&mut self, at: &str) -> EventId {
        self.say(at, Event::ClockSwitched { to: Doing::Off })
    }

    pub(super) fn mends(&mut self, at: &str, from: &str, to: &str, doing: Doing) {
        let mend = Mend { from: moment(from), to: moment(to), doing, reason: Label::new("forgot") };
        self.say(at, Event::Mended(mend));
    }

    pub(super) fn asked(&self) -> Of<'_> {
        assert_eq!(self.book.faults, []);
        Of { who: &self.who, book: &self.book, now: self.now, own: &self.own }
    }
}

fn moment(at: &str) -> Moment {
    Moment::parse(&format!("2026-05-{}:00+01:00", at.replace(' ', "T"))).unwrap()
}

fn price_list() -> PriceList {
    prices::read(
        br#"{"quaywright": "prices", "v": 1, "currency": "GBP", "rounding": "exact",
        "rates": [{"name": "yard", "price": "60"}, {"name": "road", "charge": "travel", "price": "30"}],
        "costs": [{"number": "IMP-6", "cost": "10"}], "bands": [{"from": "0", "percent": "50"}],
        "taxes": [{"name": "VAT", "category": "S", "percent": "20"}]}"#,
    )
    .unwrap()
}

/// Returns the answer to an address.
fn told(phones: &[Phone], asked: &str, with: With<'_>) -> Answer {
    let mut asking = Asking::new(Asked::parse(asked).unwrap(), with);
    loop {
        for phone in phones {
            if asking.wants(&phone.who, &phone.own, &BTreeSet::new()) {
                asking.hear(&phone.asked());
            }
        }
        if !asking.needs_more() {
            break;
        }
    }
    asking.answer().unwrap()
}

/// M. Sluice has three jobs: one finished on the 6th, one open with things off, one claimed.
/// J. Reed has one that is open, on the same boat.
fn shop() -> Vec<Phone> {
    let mut sluice = Phone::of(1, "M. Sluice");
    let heron = sluice.boat("04 08:00", "Heron", "Towpath Trust", "");
    let facts = EngineFacts { model: Label::new("MD 2"), serial: Label::new("70-113"), ..EngineFacts::default() };
    let engine = EngineId(sluice.say("04 08:00", Event::EngineAdded { boat: heron, facts }));
    for (at, hours) in [("04 08:00", "1204.5"), ("04 08:05", "1204.6")] {
        sluice.say(at, Event::EngineHoursRead { engine, hours: EngineHours::parse(hours).unwrap() });
    }
    let (pump, line) = sluice.job("04 08:00", heron, "Pump leaks", PayType::CustomerPay);
    sluice.does("04 08:00", Activity::Travel, On::Line(line));
    sluice.does("04 08:20", Activity::Labour, On::Line(line));
    let part = PartFacts { what: Label::new("impeller"), number: Label::new("IMP-6"), count: Count(1) };
    sluice.say("04 10:00", Event::PartUsed { job: pump, part });
    sluice.stops("04 10:02");
    let recommendation =
        Box::new(Recommendation { what: Label::new("cooler"), why: Prose::new("salt at the end cap"), cost: None });
    let recommendation = RecommendationId(sluice.say("05 08:00", Event::Recommended { job: pump, recommendation }));
    sluice.say("05 09:00", Event::RecommendationAnswered { recommendation, reply: Reply::Accepted });
    sluice.say("06 08:00", Event::JobFinished { job: pump });
    let to = Doing::At { activity: Activity::Paperwork, on: On::NoJob };
    sluice.mends("06 08:30", "04 09:30", "04 10:02", to);
    let (cooler, line) = sluice.job("07 09:00", heron, "Cooler out", PayType::CustomerPay);
    sluice.does("07 09:00", Activity::Labour, On::Line(line));
    for (what, side, count, awaits, needed) in [
        ("Hose, raw water", "port", 1, "", Some(Need::CoolingWater)),
        ("Bolt, end cap", "port", 4, "", None),
        ("End cap", "front", 1, "gasket set GS-4", None),
    ] {
        let renew = Renew::new(if what == "End cap" { vec![Consumable::Gasket] } else { Vec::new() });
        let details = Details { awaits: Label::new(awaits), needed, renew, ..Details::default() };
        let (what, side) = (Label::new(what), Label::new(side));
        let item = ItemFacts { what, side, count: Count(count), details, ..ItemFacts::default() };
        sluice.say("07 10:00", Event::CameOff { job: cooler, item });
    }
    sluice.stops("07 11:15");
    let teal = sluice.boat("08 08:00", "Teal <Trust>", "Ferry Board", "");
    let (_, line) = sluice.job("08 08:00", teal, "Recall of the valve", PayType::Warranty);
    sluice.does("08 08:00", Activity::Diagnosis, On::Line(line));
    sluice.stops("08 08:30");
    let mut reed = Phone::of(2, "J. Reed");
    let heron = reed.boat("12 09:00", "HERON", "Towpath trust", "");
    let (job, line) = reed.job("12 09:00", heron, "Lift her out", PayType::CustomerPay);
    reed.does("12 09:00", Activity::Labour, On::Line(line));
    let about = About::Job(job);
    reed.say("12 09:10", Event::NoteWritten { about, text: Prose::new("Sling at frame 7, Hôtel quay") });
    reed.stops("12 10:00");
    vec![sluice, reed]
}

#[test]
fn every_billed_line_comes_from_what_its_bill_says() {
    let phones = shop();
    let prices = price_list();
    let mut seen = 0;
    for phone in &phones {
        let of = phone.asked();
        for job in work(of.book, of.now) {
            for bill in bills(&job, &prices).bills {
                for line in bill.lines {
                    let why = Why::Billed { job: job.job, pay: bill.pay, item: line.item.clone() };
                    let trace = why::trace(&of, &why).unwrap();
                    let said: BTreeSet<EventId> = trace.said.iter().map(|said| said.event).collect();
                    assert_eq!(said, line.from.iter().copied().collect(), "{}", line.words);
                    // The list rounds nothing, so the hours of a line are the clock's to the fourth digit.
                    if let Item::Time(..) = line.item {
                        assert_eq!(line.quantity, crate::money::Quantity::hours(trace.clock()), "{}", line.words);
                    }
                    seen += 1;
                }
            }
        }
    }
    // Travel, labour and the impeller; labour of the cooler; diagnosis of the recall; labour of the lift.
    assert_eq!(seen, 6);
}

#[test]
fn a_line_is_told_down_to_what_was_said() {
    let prices = price_list();
    let labour = "why/0101010101010101-6/customer-pay/0101010101010101-7%20labour";
    let answer = told(&shop(), labour, With { prices: Some(&prices), ..With::default() });
    expect![[r#"
        Why: labour: Pump leaks, customer pay
        What it is made of, down to what was said and when. A rounding is the bill's, not the clock's.
          Boat: Heron (boat/0101010101010101-2)
          Job: Pump leaks (job/0101010101010101-6)
          Owner: Towpath Trust
          Technician: M. Sluice
          By the clock: 1:10

        As it is billed now

        Line                Rule  How much      Each  Off   Net
        ------------------  ----  ------------  ----  ----  -----
        labour: Pump leaks  yard  1.1667 hours    60  0.00  70.00

        Its time

        Day         From   To     Activity  Clock  For
        ----------  -----  -----  --------  -----  -----------------
        2026-05-04  08:20  09:30  labour     1:10  Heron, Pump leaks
            why/0101010101010101-9
            why/0101010101010101-15
            why/0101010101010101-6/customer-pay/0101010101010101-7%20labour

        What was said

        Said              What                                Device            Number
        ----------------  ----------------------------------  ----------------  ------
        2026-05-04 08:20  clock: labour on Heron, Pump leaks  0101010101010101       9
            why/0101010101010101-9
        2026-05-06 08:30  put right: 09:30 to 10:02:          0101010101010101      15
                          paperwork; before: labour on
                          Heron, Pump leaks (forgot); said
                          2026-05-06 08:30
            why/0101010101010101-15
    "#]]
    .assert_eq(&looking::text(&answer));
}

#[test]
fn the_board_says_how_each_open_job_stands() {
    expect![[r#"
        Open jobs
        3 open; something is off on 1 of them; 1 waits for a part.

        Boat          Job                  Owner          Who has it  Opened              Worked on           Clock  Off                          Waits for                    To be asked
        ------------  -------------------  -------------  ----------  ------------------  ------------------  -----  ---------------------------  ---------------------------  ----------------------------------
        HERON         Lift her out         Towpath trust  J. Reed     2026-05-12          2026-05-12           1:00  nothing
            boat/0202020202020202-2
            job/0202020202020202-3
        Teal <Trust>  Recall of the valve  Ferry Board    M. Sluice   2026-05-08, 4 days  2026-05-08, 4 days   0:30  nothing                                                   The warranty pack (Recall of the
                                                                                                                                                                               valve) is not whole: no cause, no
                                                                                                                                                                               correction, no engine named, no
                                                                                                                                                                               hull number (HIN), no failed part,
                                                                                                                                                                               no reading from before, no reading
                                                                                                                                                                               from after, no photo of the serial
                                                                                                                                                                               plate, no photo of the failure.
            boat/0101010101010101-23
            job/0101010101010101-24
        Heron         Cooler out           Towpath Trust  M. Sluice   2026-05-07, 5 days  2026-05-07, 5 days   2:15  6: front 1, port 5           gasket set GS-4 for End cap
                                                                                                                     Do not run: Hose, raw water
            boat/0101010101010101-2
            job/0101010101010101-16
    "#]].assert_eq(&looking::text(&told(&shop(), "board", With::default())));
    let narrowed = looking::text(&told(&shop(), "board/technician=J.%20Reed", With::default()));
    assert!(
        narrowed.contains("only technician: J. Reed\n") && narrowed.contains("1 open; something is off on 0 of them")
    );
    assert!(!narrowed.contains("Cooler out"), "{narrowed}");
}

#[test]
fn parts_are_wanted_by_what_waits_and_by_what_has_to_be_new() {
    expect![[r#"
        Parts wanted
        2 wanted by open jobs: what items wait for, what has to be new with what is off, what was estimated and agreed and not used. The workbook knows no orders and no stock.

        Part             How many  Why                         Since               Boat   Job         Technician
        ---------------  --------  --------------------------  ------------------  -----  ----------  ----------
        gasket set GS-4         1  End cap waits for it        2026-05-07, 5 days  Heron  Cooler out  M. Sluice
            boat/0101010101010101-2
            job/0101010101010101-16
        gasket                  1  has to be new with End cap  2026-05-07, 5 days  Heron  Cooler out  M. Sluice
            boat/0101010101010101-2
            job/0101010101010101-16
    "#]].assert_eq(&looking::text(&told(&shop(), "parts", With::default())));
}

#[test]
fn claims_say_what_they_lack_and_how_old_they_are() {
    expect![[r#"
        Claims for warranty
        Claims: 1. Packs that have not left: 1; 0 of these lack nothing.

        Days  State                  Boat          Job                  Claim                         Technician  Failed part  Lacks                         Pack
        ----  ---------------------  ------------  -------------------  ----------------------------  ----------  -----------  ----------------------------  --------
           4  open since 2026-05-08  Teal <Trust>  Recall of the valve  Claim on Recall of the valve  M. Sluice                no cause                      not made
                                                                                                                               no correction
                                                                                                                               no engine named
                                                                                                                               no hull number (HIN)
                                                                                                                               no failed part
                                                                                                                               no reading from before
                                                                                                                               no reading from after
                                                                                                                               no photo of the serial plate
                                                                                                                               no photo of the failure
            boat/0101010101010101-23
            job/0101010101010101-24
            claim/0101010101010101-25
    "#]].assert_eq(&looking::text(&told(&shop(), "claims", With::default())));
}

#[test]
fn a_claim_leads_to_what_its_pack_is_made_of() {
    expect![[r#"
        Claim on Teal <Trust>
        What a claim on this line has and what it lacks. Its pack on the phone: not made.
          Boat: Teal <Trust> (boat/0101010101010101-23)
          Job: Recall of the valve (job/0101010101010101-24)
          State: open since 2026-05-08
          Complaint: Recall of the valve
          Technician: M. Sluice
          Lacks: no cause
          no correction
          no engine named
          no hull number (HIN)
          no failed part
          no reading from before
          no reading from after
          no photo of the serial plate
          no photo of the failure
          Pack: not made
    "#]]
    .assert_eq(&looking::text(&told(&shop(), "claim/0101010101010101-25", With::default())));
    let within = html::looking::within_app(&told(&shop(), "claims", With::default()));
    let within = String::from_utf8(pieces::assemble(&within, |_| None)).unwrap();
    assert!(within.contains("href=\"#/office/claim/0101010101010101-25\""), "{within}");
}

/// Returns the links of each row and of each run of facts: their words, and where they lead.
fn links(answer: &Answer) -> Vec<Vec<(&str, &Asked)>> {
    fn of<'a>(cells: impl Iterator<Item = &'a answer::Cell>) -> Vec<(&'a str, &'a Asked)> {
        cells.filter_map(|cell| Some((cell.text.as_str(), cell.to.as_ref()?))).collect()
    }
    let mut links = Vec::new();
    for block in &answer.blocks {
        match block {
            Block::Table { rows, .. } => links.extend(rows.iter().map(|row| of(row.iter()))),
            Block::Facts(facts) => links.push(of(facts.iter().map(|(_, cell)| cell))),
            _ => {}
        }
    }
    links
}

#[test]
fn no_two_links_beside_each_other_bear_the_same_words() {
    let mut phone = Phone::of(3, "M. Sluice");
    // A boat and a job may have one name, and lines of one job one complaint, or none.
    let boat = phone.boat("04 08:00", "Teal", "Ferry Board", "");
    let (job, first) = phone.job("04 08:00", boat, "Teal", PayType::Warranty);
    let mut lines = vec![first];
    for complaint in ["Valve sticks", "", "Teal"] {
        let complaint = Prose::new(complaint);
        lines.push(LineId(phone.say("04 09:00", Event::LineAdded { job, pay: PayType::Warranty, complaint })));
    }
    let phones = [phone];
    let asked = ["board".to_owned(), "claims".to_owned(), format!("claim/{first}")];
    let answers = asked.map(|asked| told(&phones, &asked, With::default()));
    for row in answers.iter().flat_map(links) {
        let words: BTreeSet<&str> = row.iter().map(|(words, _)| *words).collect();
        let places: BTreeSet<&Asked> = row.iter().map(|(_, to)| *to).collect();
        assert_eq!((words.len(), places.len()), (row.len(), row.len()), "{row:?}");
    }
    let claims = links(&answers[1]);
    let led =
        |line: LineId| claims.iter().flatten().find(|(_, to)| **to == Asked::Claim(line)).map(|(words, _)| *words);
    let led: Vec<&str> = lines.into_iter().filter_map(led).collect();
    assert_eq!(
        led,
        [
            "Claim on Teal, line 1",
            "Claim on Valve sticks",
            "Claim on a line without complaint",
            "Claim on Teal, line 4"
        ]
    );
    assert_eq!(claims[0][..2].iter().map(|(words, _)| *words).collect::<Vec<_>>(), ["Teal", "Job: Teal"]);
}

#[test]
fn what_did_not_go_out_is_told_by_age() {
    let prices = price_list();
    let with = With { prices: Some(&prices), ..With::default() };
    expect![[r#"
        Unbilled work by age
        By the price list as it is now, without tax; 0 cannot go out before a question is answered. Age is from the day on which a job was finished, of open work from its first day; the buckets are common practice.

        Customer pay

        Owner          0 to 7 days  8 to 30  31 to 90  Over 90  Finished in all  Open work  Currency
        -------------  -----------  -------  --------  -------  ---------------  ---------  --------
        Towpath Trust        95.00     0.00      0.00     0.00            95.00     135.00  GBP
            unbilled/customer=Towpath%20Trust
        Towpath trust         0.00     0.00      0.00     0.00             0.00      60.00  GBP
            unbilled/customer=Towpath%20trust
        all                  95.00     0.00      0.00     0.00            95.00     195.00  GBP

        Warranty

        Owner        0 to 7 days  8 to 30  31 to 90  Over 90  Finished in all  Open work  Currency
        -----------  -----------  -------  --------  -------  ---------------  ---------  --------
        Ferry Board         0.00     0.00      0.00     0.00             0.00      30.00  GBP
            unbilled/customer=Ferry%20Board
        all                 0.00     0.00      0.00     0.00             0.00      30.00  GBP

        Job by job

        Days  State                  Boat          Job                  Owner          Technician  Paid by       Net         To be answered first
        ----  ---------------------  ------------  -------------------  -------------  ----------  ------------  ----------  --------------------
           6  finished 2026-05-06    Heron         Pump leaks           Towpath Trust  M. Sluice   customer pay   95.00 GBP
            job/0101010101010101-6
           5  open since 2026-05-07  Heron         Cooler out           Towpath Trust  M. Sluice   customer pay  135.00 GBP
            job/0101010101010101-16
           4  open since 2026-05-08  Teal <Trust>  Recall of the valve  Ferry Board    M. Sluice   warranty       30.00 GBP
            job/0101010101010101-24
           0  open since 2026-05-12  HERON         Lift her out         Towpath trust  J. Reed     customer pay   60.00 GBP
            job/0202020202020202-3
    "#]].assert_eq(&looking::text(&told(&shop(), "unbilled", with)));
    // What went out is no more unbilled.
    let phones = shop();
    let of = phones[0].asked();
    let pump = work(of.book, of.now).into_iter().next().unwrap();
    let lines = bills(&pump, &prices).bills.iter().flat_map(|bill| Outgoing::of(&pump, bill)).collect::<Vec<_>>();
    let gone: Vec<Gone> = lines.into_iter().map(|line| Gone { export: 1, line }).collect();
    let left = |gone: &[Gone], customer: &str| {
        let gone = BTreeMap::from([(pump.job, gone.to_vec())]);
        let with = With { prices: Some(&prices), gone: Some(&gone), ..With::default() };
        looking::text(&told(&phones, &format!("unbilled/customer={customer}"), with))
    };
    let of_trust = left(&gone, "Towpath%20Trust");
    assert!(of_trust.contains("Cooler out") && !of_trust.contains("Pump leaks"), "{of_trust}");
    // She had another owner when they went out, for ten less on the first: what corrects it is that one's.
    let ten = Money::parse("10", Currency::Gbp).unwrap();
    let mut earlier = gone;
    earlier.iter_mut().for_each(|gone| gone.line.customer = Label::new("Ferry Board"));
    let line = &mut earlier[0].line;
    (line.gross, line.net) = (line.gross.minus(ten).unwrap(), line.net.minus(ten).unwrap());
    let (of_trust, of_board) = (left(&earlier, "Towpath%20Trust"), left(&earlier, "Ferry%20Board"));
    assert!(of_trust.contains("Cooler out") && !of_trust.contains("Pump leaks"), "{of_trust}");
    let row = |text: &str| {
        let row = of_board.lines().find(|line| line.contains(text)).unwrap_or_default();
        row.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(
        row("finished 2026-05-06").contains("Pump leaks Ferry Board M. Sluice customer pay 10.00 GBP"),
        "{of_board}"
    );
    assert!(row("as before").ends_with("as before now 60 10.00 GBP 1"), "{of_board}");
    let none = Asking::new(Asked::parse("unbilled").unwrap(), With::default());
    assert_eq!(none.answer(), Err(NoAnswer::NoPrices));
}

#[test]
fn a_boat_has_one_history_in_all_books() {
    expect![[r#"
        Heron
        3 jobs, 2 of them open; 4:45 by the clock.
          Owner: Towpath Trust
          In the books of: M. Sluice, J. Reed
          Taken for the same boat
          HERON, Towpath trust, no HIN, in the book of J. Reed (boat/0202020202020202-2)

        Engine: MD 2, no. 70-113, 1204.6 h
        In the book of M. Sluice.

        Read        Engine hours
        ----------  ------------
        2026-05-04        1204.5
        2026-05-04        1204.6

        Recommended
          2026-05-04: cooler: accepted (salt at the end cap); a job was opened 2026-05-07 (job/0101010101010101-16)

        Jobs

        Opened              Job           State                Technician  Clock  Paid by
        ------------------  ------------  -------------------  ----------  -----  ------------
        2026-05-12          Lift her out  open                 J. Reed      1:00  customer pay
            job/0202020202020202-3
        2026-05-07, 5 days  Cooler out    open                 M. Sluice    2:15  customer pay
            job/0101010101010101-16
        2026-05-04, 8 days  Pump leaks    finished 2026-05-06  M. Sluice    1:30  customer pay
            job/0101010101010101-6

        2026-05-12: Lift her out
          Technician: J. Reed
          State: open
          Days by the clock: 2026-05-12: 1:00
          customer pay, 1:00 by the clock
          Complaint: Lift her out
          Cause: not written
          Correction: not written
          labour 1:00 (why/0202020202020202-3/customer-pay/0202020202020202-4%20labour)
          Notes
          2026-05-12 09:10: Sling at frame 7, Hôtel quay

        2026-05-07: Cooler out
          Technician: M. Sluice
          State: open
          Engine: MD 2, no. 70-113, 1204.6 h
          Days by the clock: 2026-05-07: 2:15
          customer pay, 2:15 by the clock
          Complaint: Cooler out
          Cause: not written
          Correction: not written
          labour 2:15 (why/0101010101010101-16/customer-pay/0101010101010101-17%20labour)
          Still off
          Hose, raw water, port: off
          Bolt, end cap, port: 4 off
          End cap, front: off

        2026-05-04: Pump leaks
          Technician: M. Sluice
          State: finished
          Finished: 2026-05-06
          Engine: MD 2, no. 70-113, 1204.6 h
          Days by the clock: 2026-05-04: 1:30
          customer pay, 1:30 by the clock
          Complaint: Pump leaks
          Cause: not written
          Correction: not written
          labour 1:10 (why/0101010101010101-6/customer-pay/0101010101010101-7%20labour)
          travel 0:20 (why/0101010101010101-6/customer-pay/0101010101010101-7%20travel)
          Parts used
          1 of impeller, IMP-6
          Agreed with the owner
          cooler: accepted (salt at the end cap)
    "#]]
    .assert_eq(&looking::text(&told(&shop(), "boat/0101010101010101-2", With::default())));
    // Asked from the other book it is the same boat.
    let other = told(&shop(), "boat/0202020202020202-2", With::default());
    assert!(other.lead.starts_with("3 jobs, 2 of them open; 4:45"), "{}", other.lead);
    assert!(looking::text(&told(&shop(), "job/0202020202020202-3", With::default())).contains("Sling at frame 7"));
}

#[test]
fn words_are_found_wherever_they_stand() {
    let found = |words: &str| {
        let asked = Asked::Find(Label::new(words)).to_string();
        let answer = told(&shop(), &asked, With::default());
        let Some(Block::Table { rows, .. }) = answer.blocks.first() else { return Vec::new() };
        rows.iter().map(|row| format!("{} | {}", row[1].text, row[4].text)).collect()
    };
    assert_eq!(found("hotel SLING"), ["HERON: Lift her out | note 2026-05-12: Sling at frame 7, Hôtel quay"]);
    assert_eq!(found("heron gs-4"), ["Heron: Cooler out | came off 2026-05-07: End cap, front, gasket set GS-4"]);
    assert_eq!(found("70-113"), ["Heron | boat: Heron, Towpath Trust, MD 2, 70-113"]);
    assert_eq!(found("imp-6"), ["Heron: Pump leaks | part 2026-05-04: impeller IMP-6"]);
    assert_eq!(found("heron nothing"), [""; 0]);
    assert_eq!(found(" "), [""; 0]);
}

#[test]
fn hours_are_added_up_and_narrowed() {
    let bars = |asked: &str| {
        let answer = told(&shop(), asked, With::default());
        let bars = answer.blocks.iter().find_map(|block| if let Block::Bars(bars) = block { Some(bars) } else { None });
        let bar = |bar: &answer::Bar| format!("{} {}", bar.name.text, bar.figure);
        bars.into_iter().flatten().map(bar).collect::<Vec<_>>()
    };
    // Labour: 8:20 to 9:30, 9:00 to 11:15, 9:00 to 10:00; paperwork 9:30 to 10:02.
    assert_eq!(bars("hours/activity"), ["labour 4:25", "paperwork 0:32", "diagnosis 0:30", "travel 0:20"]);
    assert_eq!(bars("hours/technician"), ["M. Sluice 4:47", "J. Reed 1:00"]);
    assert_eq!(bars("hours/customer/paid=on-no-line"), ["no owner written 0:32"]);
    assert_eq!(bars("hours/paid/technician=M.%20Sluice"), ["customer pay 3:45", "on no line 0:32", "warranty 0:30"]);
    assert_eq!(bars("hours/month/activity=travel"), ["May 2026 0:20"]);
    assert_eq!(bars("hours/activity/month=2026-06"), [""; 0]);
}

#[test]
fn a_page_escapes_and_leads_on_where_it_can() {
    let answer = told(&shop(), "claims", With::default());
    let shown = |pieces: Vec<pieces::Piece>| String::from_utf8(pieces::assemble(&pieces, |_| None)).unwrap();
    let file = shown(html::looking::page(&answer));
    assert!(file.contains("Teal &lt;Trust&gt;") && !file.contains("<Trust>"));
    assert!(!file.contains("href=") && !file.contains("<script"), "a file has nothing to lead to");
    let why = told(&shop(), "why/0101010101010101-6/customer-pay/0101010101010101-7%20labour", With::default());
    assert!(!shown(html::looking::page(&why)).contains("href="), "no link leads to where one is");
    let boat = shown(html::looking::page(&told(&shop(), "boat/0101010101010101-2", With::default())));
    assert!(boat.contains("href=\"#job/0101010101010101-6\"") && boat.contains("id=\"job/0101010101010101-6\""));
    let within = shown(html::looking::within_app(&answer));
    assert!(within.contains("<a href=\"#/office/job/0101010101010101-24\" dir=\"auto\">Recall of the valve</a>"));
    assert!(within.contains("<a href=\"#/office/claims\" aria-current=\"true\" dir=\"auto\">Claims</a>"));
    assert!(!within.contains("<style") && !within.contains("style="));
}

#[test]
fn what_nobody_knows_is_said() {
    for asked in ["why/0101010101010101-999", "why/0909090909090909-1", "claim/0101010101010101-16"] {
        let phones = shop();
        let mut asking = Asking::new(Asked::parse(asked).unwrap(), With::default());
        phones.iter().for_each(|phone| asking.hear(&phone.asked()));
        assert_eq!(asking.answer(), Err(NoAnswer::Unknown));
    }
}
