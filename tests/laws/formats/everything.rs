//! Phones that have said everything that a form of a line knows, with every field
//! filled and left out.
//!
//! A domain of events says its own kinds in a function of its own; it names
//! things by what the phone returns, never by fixed numbers.

use quaywright_core::event::{
    About, Activity, Billing, BoatFacts, Check, Consumable, Details, Document, Doing, EngineFacts, Event, GroupFacts,
    Hardware, ItemFacts, ItemKind, Mark, Mend, On, OpenEnd, PartFacts, PayType, PhotoFacts, Position, Renew, Sound,
    Spot, StoryPart, Tags, VoiceFacts, Way,
};
use quaywright_core::id::{BlobId, BoatId, EngineId, EventId, GroupId, Hash, ItemId, JobId, LineId, PhotoId, StepId};
use quaywright_core::moment::{Day, Moment};
use quaywright_core::quantity::{Count, EngineHours, Power, PowerUnit};
use quaywright_core::reassembly::gate::Need;
use quaywright_core::reassembly::tally::{How, Instead};
use quaywright_core::reassembly::ties::{Freed, Tie, TieKind};
use quaywright_core::text::{Label, Prose};
use quaywright_core::tightening::extent::Extent;
use quaywright_core::tightening::group::{Shares, Step};
use quaywright_core::tightening::guidance::{Strength, Surface};
use quaywright_core::tightening::pattern::{Layout, Numbering, Pattern, Place};
use quaywright_core::tightening::thread::Thread;
use quaywright_core::tightening::torque::{Entered, Source, Target, Torque, TorqueUnit};
use quaywright_core::tightening::wrench::{Lever, Wrench};

use crate::agreement;
use crate::claims;
use crate::owner;
use crate::phone::{Phone, at, jpeg};
use crate::procedures;
use crate::reading;
use crate::shop;
use crate::visits;

pub(crate) const VOICE: &[u8] = b"made-up sound";
pub(crate) const PHOTOS: [&str; 2] = ["end cap, inside", "tray of bolts"];

/// A phone that has said every kind of the first form, with every field filled and left out.
pub(super) fn every_kind() -> Phone {
    let mut phone = Phone::new(0xa1, "2026-05-04T07:58:12.345+01:00");
    let id = |seq| EventId { device: phone.tip.device, seq };
    let (boat, engine, job, line) = (BoatId(id(2)), EngineId(id(4)), JobId(id(7)), LineId(id(9)));
    let (item, step) = (ItemId(id(16)), StepId(id(20)));
    let [text, prose] = [Label::new("Heat exchanger"), Label::new("Exhaust manifold")];
    let facts = |name: &str, berth: &str| BoatFacts {
        name: Label::new(name),
        owner: Label::new("P. Wherry"),
        berth: Label::new(berth),
        hin: Label::new("XX-QWT00042E626"),
    };
    let full = EngineFacts {
        place: Label::new("port"),
        model: Label::new("4-cylinder diesel, raw-water cooled"),
        serial: Label::new("QW-0042"),
        year: Some(1998),
        power: Some(Power { tenths: 285, unit: PowerUnit::Kilowatt }),
    };
    let bolts = |stowed: &str| ItemFacts {
        what: Label::new("End cap bolt"),
        side: Label::new("front"),
        count: Count(12),
        size: Label::new("M8 × 40"),
        stowed: Label::new(stowed),
        details: Details::default(),
    };
    let photo = |index: usize, position, taken| {
        let bytes = jpeg(PHOTOS[index]);
        PhotoFacts {
            blob: BlobId::of(&bytes),
            bytes: bytes.len() as u32,
            width: 1200,
            height: 900,
            caption: Label::new(["", "Bolts in their order"][index]),
            taken,
            position,
        }
    };
    let here = Position { lat_e7: 515_000_000, lon_e7: -12_345 };
    let doing = |activity, on| Event::ClockSwitched { to: Doing::At { activity, on } };
    let day = phone.now.day();
    let file = BlobId(Hash::of(b"a file"));
    let events = vec![
        Event::TechnicianNamed { name: Label::new("M. Sluice"), shop: Label::new("Lower Basin Boatyard") },
        Event::BoatAdded(facts("Heron", "")),
        Event::BoatAmended { boat, facts: facts("Heron", "Pontoon C 12") },
        Event::EngineAdded { boat, facts: EngineFacts::default() },
        Event::EngineAmended { engine, facts: full },
        Event::EngineHoursRead { engine, hours: EngineHours { tenths: 12_045 } },
        Event::JobOpened { boat, engine: Some(engine), title: prose },
        Event::JobRetitled { job, title: text },
        Event::LineAdded { job, pay: PayType::CustomerPay, complaint: Prose::new("Runs hot.\nLoses coolant.") },
        Event::PayTypeSet { line, pay: PayType::Warranty },
        Event::StoryTold { line, part: StoryPart::Cause, text: Prose::new("Tube stack blocked, \"furred\" & <soft>") },
        doing(Activity::Labour, On::Line(line)),
        doing(Activity::PartsRun, On::Job(job)),
        doing(Activity::MealPeriod, On::NoJob),
        Event::ClockSwitched { to: Doing::Off },
        Event::CameOff { job, item: bolts("") },
        Event::ItemAmended { item, facts: bolts("tray 2") },
        Event::BackOn { item, count: Count(4) },
        Event::BackOn { item, count: Count(5) },
        Event::StepAdded { job, text: Label::new("Pressure test") },
        Event::StepTicked { step, done: true },
        Event::NoteWritten { about: About::Day, text: Prose::new("مرحبا 🛶 high water 14:10") },
        Event::NoteWritten { about: About::Item(item), text: Prose::new("one is bent") },
        Event::PhotoTaken { about: About::Job(job), photo: photo(0, None, None) },
        Event::PhotoTaken { about: About::Step(step), photo: photo(1, Some(here), Some(phone.now)) },
        Event::PartUsed {
            job,
            part: PartFacts { what: Label::new("End cap seal"), number: Label::new("42-7"), count: Count(2) },
        },
        Event::Withdrawn { event: id(19) },
        Event::JobFinished { job },
        Event::JobReopened { job },
        Event::HandedOver { what: Document::DayBundle { day, table: true }, way: Way::Shared, file },
        Event::HandedOver { what: Document::OwnerSummary { job }, way: Way::Downloaded, file },
        Event::HandedOver { what: Document::Backup { up_to: 31 }, way: Way::Shared, file },
    ];
    for event in events {
        phone.say(event);
        phone.now = Moment::new(phone.now.utc_ms() + 17 * 60_000 + 1, 60).unwrap();
    }
    phone
}

/// The same phone after it has said every kind of the second form too.
pub(super) fn every_kind_of_the_second_form() -> Phone {
    let mut phone = every_kind();
    let id = |seq| EventId { device: phone.tip.device, seq };
    let (job, line, photo) = (JobId(id(7)), LineId(id(9)), PhotoId(id(24)));
    let day = Document::DayBundle { day: at("2026-05-04T07:58:12+01:00").day(), table: false };
    let handed_over = Event::HandedOver { what: day, way: Way::Shared, file: BlobId(Hash::of(b"a file")) };
    let mend = |from: &str, to: &str, doing, reason: &str| {
        Event::Mended(Mend { from: at(from), to: at(to), doing, reason: Label::new(reason) })
    };
    let waiting = Doing::At { activity: Activity::Waiting, on: On::Line(line) };
    let events = vec![
        handed_over.clone(),
        mend("2026-05-04T11:10:00+01:00", "2026-05-04T11:20:00.5+01:00", waiting, "lift was late: forgot to tap"),
        mend("2026-05-04T12:45:00+02:00", "2026-05-04T12:50:00+02:00", Doing::Off, ""),
        Event::Withdrawn { event: id(35) },
        Event::LineBilled { line, billing: Billing::Flat { minutes: 150 } },
        Event::LineBilled { line, billing: Billing::NoCharge },
        Event::LineBilled { line, billing: Billing::ByClock },
        Event::JobTagged { job, tags: Tags::new(["lift", "مرحبا", "engine out"].map(Label::new).to_vec()) },
        Event::JobTagged { job, tags: Tags::default() },
        Event::PhotoCaptioned { photo, caption: Label::new("End cap, inside, \"pitted\" & <soft>") },
        Event::PhotoCaptioned { photo, caption: Label::default() },
    ];
    for event in events {
        phone.say(event);
        phone.now = Moment::new(phone.now.utc_ms() + 60_001, 60).unwrap();
    }
    phone
}

/// The same phone after it has said every kind, and every new field, of the third form too.
pub(super) fn every_kind_of_the_third_form() -> Phone {
    let mut phone = every_kind_of_the_second_form();
    tightening_is_said(&mut phone);
    procedures::are_said(&mut phone);
    reading::is_said(&mut phone);
    what_came_off_in_detail(&mut phone);
    shop::rules_are_said(&mut phone);
    agreement::is_said(&mut phone);
    owner::is_said_to(&mut phone);
    claims::are_said(&mut phone);
    phone
}

/// The same phone after it has said every kind, and every new field, of the fourth form too.
pub(crate) fn every_kind_of_the_fourth_form() -> Phone {
    let mut phone = every_kind_of_the_third_form();
    visits::are_said(&mut phone);
    agreement::is_said_in_german(&mut phone);
    phone
}

/// Says everything about groups of fasteners, with every field filled and left out.
fn tightening_is_said(phone: &mut Phone) {
    let job = phone.book.jobs.jobs().next().unwrap().id;
    let mut say = |event| {
        phone.now = Moment::new(phone.now.utc_ms() + 60_001, 60).unwrap();
        phone.say(event).record.id
    };
    let value = |text| {
        let source = Source { manual: Label::new("Service manual 3, \"blue\""), page: Label::new("4-12") };
        Some(Entered { target: Target::parse(text, TorqueUnit::NewtonMetre).unwrap(), source })
    };
    let full = GroupFacts {
        what: Label::new("Cylinder head"),
        side: Label::new("port"),
        pattern: Pattern::of(Layout::Rectangle { rows: 2, columns: 5 }).unwrap(),
        numbering: Numbering::ByOrder,
        entered: value("33 ± 2 ft-lb + 90°"),
        shares: Shares::parse("50, 100").unwrap(),
        hardware: Hardware {
            thread: Thread::parse("M10x1.25").ok(),
            strength: Some(Strength::Class10_9),
            surface: Some(Surface::Oiled),
        },
        needed: Some(Need::CoolingWater),
    };
    let bare = GroupFacts {
        what: Label::new("Thermostat housing"),
        side: Label::default(),
        pattern: Pattern::of(Layout::Circle(4)).unwrap(),
        numbering: Numbering::ByPosition,
        entered: None,
        shares: Shares::default(),
        hardware: Hardware::default(),
        needed: None,
    };
    let group = GroupId(say(Event::GroupAdded { job, facts: Box::new(full.clone()) }));
    let other = GroupId(say(Event::GroupAdded { job, facts: Box::new(bare.clone()) }));
    let entered = value("9.5 Nm");
    let inch = Hardware { thread: Thread::parse("3/8-16").ok(), strength: Some(Strength::Grade5), surface: None };
    say(Event::GroupAmended { group: other, facts: Box::new(GroupFacts { entered, hardware: inch, ..bare }) });
    let torque = |text| Torque::parse(text, TorqueUnit::NewtonMetre).ok();
    let wrench = |name: &str, largest, calibrated| Wrench { name: Label::new(name), largest, calibrated };
    let lever = Lever::new(Extent::parse("16 in").unwrap(), Extent::parse("60 mm").unwrap(), 45).unwrap();
    let clicker = wrench("the long one", torque("150 lbf ft"), Day::parse("2026-02-03"));
    say(Event::WrenchTaken { group, wrench: clicker, lever: Some(lever) });
    say(Event::WrenchTaken { group: other, wrench: wrench("small", None, None), lever: None });
    let tap = |pass, place| Event::FastenerTightened { group, step: Step { pass, place: Place(place) } };
    say(tap(1, 3));
    let wrong = say(tap(3, 10));
    say(Event::Withdrawn { event: wrong });
}

/// Says everything about items, their order, marks and voice notes.
fn what_came_off_in_detail(phone: &mut Phone) {
    let book = &phone.book;
    let job = book.jobs.jobs().next().unwrap().id;
    let step = book.steps.steps_of(job).next().unwrap().id;
    let photo = book.evidence.photos().next().unwrap().id;
    let book_group = book.tightening.groups_of(job).next().unwrap().id;
    let details = Details {
        kind: Some(ItemKind::Seal),
        way_up: Label::new("lip down, \"spring\" to oil"),
        renew: Renew::new(vec![Consumable::ORing, Consumable::Seal]),
        end: Some(OpenEnd::Capped),
        tied_back: true,
        awaits: Label::new("seal kit"),
        needed: Some(Need::Oil),
    };
    let item = |what: &str, details| ItemFacts {
        what: Label::new(what),
        side: Label::new("front"),
        count: Count(2),
        size: Label::default(),
        stowed: Label::default(),
        details,
    };
    let mut said = |event| {
        let id = phone.say(event).record.id;
        phone.now = Moment::new(phone.now.utc_ms() + 60_001, 60).unwrap();
        id
    };
    let seal = ItemId(said(Event::CameOff { job, item: item("Shaft seal", details.clone()) }));
    let hose = ItemId(said(Event::CameOff { job, item: item("Hose", Details::default()) }));
    let needed = Details { needed: Some(Need::CoolingWater), ..Details::default() };
    said(Event::ItemAmended { item: hose, facts: item("Hose", needed) });
    let tied = said(Event::Tied(Tie { item: hose, kind: TieKind::Behind, other: seal }));
    said(Event::Withdrawn { event: tied });
    said(Event::Tied(Tie { item: hose, kind: TieKind::HeldBy, other: seal }));
    said(Event::Freed(Freed(seal, hose)));
    for (item, how, reason) in [(seal, How::Replaced, "worn"), (hose, How::LeftOff, "no <spare>")] {
        said(Event::DoneInstead { item, instead: Instead::new(how, Count(1), Label::new(reason)).unwrap() });
    }
    said(Event::MadeSure { item: seal, check: Check::WayUp });
    said(Event::MadeSure { item: seal, check: Check::New(Consumable::ORing) });
    said(Event::StepNeeded { step, need: Some(Need::Guards) });
    said(Event::StepNeeded { step, need: None });
    let spot = |x, y| Spot::new(x, y).unwrap();
    let marks = vec![
        Mark::Stroke(vec![spot(0, 0), spot(10_000, 1), spot(3, 10_000)]),
        Mark::Arrow(spot(1, 2), spot(3, 4)),
        Mark::Ring(spot(5_000, 4_999), 800),
        Mark::Words(spot(10_000, 0), Label::new("lip <down>, \"so\"")),
    ];
    said(Event::PhotoMarked { photo, marks });
    said(Event::PhotoMarked { photo, marks: Vec::new() });
    let file = BlobId(Hash::of(b"a file"));
    said(Event::HandedOver { what: Document::JobFile { job }, way: Way::Shared, file });
    let group = About::Group(book_group);
    said(Event::NoteWritten { about: group, text: Prose::new("the third one turns hard") });
    let picture = jpeg(PHOTOS[1]);
    let (blob, bytes, caption) = (BlobId::of(&picture), picture.len() as u32, Label::default());
    let photo = PhotoFacts { blob, bytes, width: 8, height: 6, caption, taken: None, position: None };
    said(Event::PhotoTaken { about: group, photo });
    let about = [About::Item(seal), About::Job(job), About::Day, group, About::Step(step)];
    for (about, sound) in about.into_iter().zip(Sound::ALL) {
        let voice = VoiceFacts { blob: BlobId::of(VOICE), bytes: VOICE.len() as u32, ms: 2_750, sound };
        said(Event::VoiceNoted { about, voice });
    }
}
