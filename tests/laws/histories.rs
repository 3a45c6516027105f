//! Random histories of one to five devices, and random events of every kind.
//!
//! A history is made by asking, as a person would, and now and then by saying
//! something that nobody could have asked for; devices hear of each other at
//! random. Ids come from a small pool, so that what is spoken of often exists.
#![allow(clippy::unwrap_used, reason = "strategies give only what can be made")]

use proptest::prelude::*;
use quaywright_core::book::Book;
use quaywright_core::command::{BoatChoice, Command, NewJob};
use quaywright_core::event::{
    About, Activity, Billing, BoatFacts, Check, Consumable, DayTable, Details, Document, Doing, EngineFacts, Event,
    ItemFacts, ItemKind, Mark, Mend, On, OpenEnd, PartFacts, PayType, PhotoFacts, Position, Renew, Sound, Spot,
    StoryPart, Tags, VoiceFacts, WHOLE, Way,
};
use quaywright_core::id::{
    BlobId, BoatId, DeviceId, EngineId, EventId, GroupId, ItemId, JobId, LineId, PhotoId, ReadingId, StepId, VersionId,
};
use quaywright_core::moment::{Day, Moment};
use quaywright_core::quantity::{Count, EngineHours, Power, PowerUnit};
use quaywright_core::reassembly::gate::Need;
use quaywright_core::reassembly::tally::{How, Instead};
use quaywright_core::reassembly::ties::{Freed, Tie, TieKind};
use quaywright_core::text::{Label, Prose};

use crate::agreement;
use crate::owner;
use crate::phone::Phone;
use crate::procedures;
use crate::{claims, reading, shop, tightening, visits};

/// What happens next on one of the devices.
#[derive(Clone, Debug)]
pub(crate) enum Happening {
    /// Time passes, perhaps backwards, and the place on earth may change.
    Time { ms: i64, offset_min: i16 },
    /// A person asks for something; the numbers choose for what.
    Asked { what: u8, which: usize, amount: u32 },
    /// Something is said that need not make sense.
    Said(Event),
    /// The device hears all that another one holds.
    Heard { from: usize },
}

/// A history: on which device what happens.
pub(crate) type History = Vec<(usize, Happening)>;

pub(crate) const DEVICES: usize = 5;

pub(crate) fn history(longest: usize) -> impl Strategy<Value = History> {
    prop::collection::vec((0..DEVICES, happening()), 0..longest)
}

/// A history of one device on which only sensible things are asked for.
pub(crate) fn asked_of_one(longest: usize) -> impl Strategy<Value = History> {
    prop::collection::vec((Just(0), prop_oneof![time(), asked(), asked(), asked()]), 0..longest)
}

/// A history of one device that opens jobs and then says everything about what came off.
pub(crate) fn taken_apart(longest: usize) -> impl Strategy<Value = History> {
    let opened = (any::<u8>(), 0..50_usize).prop_map(|(_, which)| (0, Happening::Asked { what: 1, which, amount: 1 }));
    let work = (any::<u8>(), 0..50_usize, 2..5_u32)
        .prop_map(|(what, which, amount)| (0, Happening::Asked { what: what % 25 * 10 + 9, which, amount }));
    (prop::collection::vec(opened, 1..3), prop::collection::vec(work, 0..longest))
        .prop_map(|(opened, work)| [opened, work].concat())
}

fn happening() -> impl Strategy<Value = Happening> {
    let said = event().prop_map(Happening::Said);
    let heard = (0..DEVICES).prop_map(|from| Happening::Heard { from });
    prop_oneof![3 => time(), 8 => asked(), 1 => said, 1 => heard]
}

fn time() -> impl Strategy<Value = Happening> {
    let step =
        prop_oneof![6 => 0..4 * 3_600_000_i64, 2 => 0..1_000_i64, 1 => -86_400_000..0_i64, 1 => 0..200_000_000_i64];
    // From UTC-12 to UTC+14, the widest that are in use.
    (step, -12 * 60..=14 * 60_i16).prop_map(|(ms, offset_min)| Happening::Time { ms, offset_min })
}

fn asked() -> impl Strategy<Value = Happening> {
    (any::<u8>(), 0..50_usize, 1..5_u32).prop_map(|(what, which, amount)| Happening::Asked { what, which, amount })
}

/// Lets a history happen; returns the devices after it.
pub(crate) fn lived(history: &History) -> Vec<Phone> {
    let mut phones: Vec<Phone> = (0..DEVICES).map(|n| Phone::new(n as u8, "2026-05-04T08:00:00.000+01:00")).collect();
    for (device, happening) in history {
        match happening {
            Happening::Time { ms, offset_min } => {
                let now = phones[*device].now.utc_ms() + ms;
                phones[*device].now = Moment::new(now, *offset_min).unwrap_or(phones[*device].now);
            }
            Happening::Asked { what, which, amount } => {
                if let Some(command) = command(&phones[*device], *what, *which, *amount) {
                    // What is refused did not happen.
                    drop(phones[*device].ask(command));
                }
            }
            Happening::Said(event) => drop(phones[*device].say(event.clone())),
            Happening::Heard { from } => {
                let other = phones[*from].log.clone();
                phones[*device].hear(&other);
            }
        }
    }
    phones
}

/// Returns a request about things that the phone knows.
fn command(phone: &Phone, what: u8, which: usize, amount: u32) -> Option<Command> {
    let book = &phone.book;
    let label = Label::new(&format!("thing {which}"));
    let prose = Prose::new(&format!("text {which}\nof {amount}"));
    let nth_job = || nth(book.jobs.jobs().map(|job| job.id), which);
    let nth_line = || nth(book.jobs.jobs().flat_map(|job| job.lines.iter().copied()), which);
    let nth_item = || nth(book.jobs.jobs().flat_map(|job| book.teardown.items_of(job.id)).map(|item| item.id), which);
    let nth_step = || nth(book.jobs.jobs().flat_map(|job| book.steps.steps_of(job.id)).map(|step| step.id), which);
    let activity = Activity::ALL[which % Activity::ALL.len()];
    let pay = PayType::ALL[which % PayType::ALL.len()];
    let item =
        ItemFacts { what: label.clone(), count: Count(amount), side: Label::new("port"), ..ItemFacts::default() };
    if what % 10 == 9 && amount > 1 {
        return off_and_on(phone, what / 10, which, amount);
    }
    Some(match what % 30 {
        20 if amount > 1 => tightening::command(phone, nth_job()?, which, amount)?,
        21 if amount > 1 => reading::command(phone, nth_job()?, which, which as u32 % 4)?,
        2 | 29 if amount > 2 => agreement::command(phone, nth_job()?, which, amount)?,
        17 if amount == 2 => claims::command(phone, which, what.into())?,
        17 if amount == 3 => visits::command(phone, nth_job()?, which, what.into())?,
        16 | 17 if amount > 2 => procedures::command(phone, what / 30, which, amount - 2)?,
        0 | 1 => Command::OpenJob(NewJob {
            boat: BoatChoice::New(BoatFacts { name: label.clone(), ..BoatFacts::default() }),
            engine: None,
            title: label,
            pay,
            complaint: prose,
            tags: if amount == 4 { Tags::new(vec![Label::new("yard")]) } else { Tags::default() },
            start: (amount > 2).then_some(activity),
        }),
        2 => Command::AddLine { job: nth_job()?, pay, complaint: prose },
        4 if amount > 2 => Command::TakeOff { job: nth_job()?, item },
        5 if amount < 3 => Command::PutBack { item: nth_item()?, count: Count(amount) },
        3..=5 => Command::SwitchClock { to: Doing::At { activity, on: On::Job(nth_job()?) } },
        6 => Command::SwitchClock { to: Doing::At { activity, on: On::Line(nth_line()?) } },
        7 => Command::SwitchClock { to: Doing::At { activity, on: On::NoJob } },
        8 => Command::SwitchClock { to: Doing::Off },
        9 if amount > 2 => Command::UndoTap,
        10 | 19 | 20 => Command::TakeOff { job: nth_job()?, item },
        9 | 11 | 12 | 21 => Command::PutBack { item: nth_item()?, count: Count(amount) },
        13 => Command::AmendItem { item: nth_item()?, facts: item },
        14 => Command::AddStep { job: nth_job()?, text: label },
        15 if amount > 3 => Command::SetShopRules(shop::rules(which, amount)),
        15 => Command::TickStep { step: nth_step()?, done: amount > 1 },
        16 => Command::WriteNote { about: nth_job().map_or(About::Day, About::Job), text: prose },
        17 => Command::UsePart {
            job: nth_job()?,
            part: PartFacts { what: label, count: Count(amount), ..PartFacts::default() },
        },
        18 if amount > 2 => Command::FinishJob { job: nth_job()? },
        18 => Command::ReopenJob { job: nth_job()? },
        22 if amount > 2 => Command::Withdraw { event: nth(book.ledger.mends().map(|it| it.id), which)? },
        22 | 23 => Command::Withdraw { event: nth(phone.log.by_name().map(|sealed| sealed.record.id), which)? },
        24..=27 => Command::Mend(mend(
            phone,
            which,
            amount,
            match (which + amount as usize) % 3 {
                0 => Doing::Off,
                1 => Doing::At { activity, on: On::NoJob },
                _ => Doing::At { activity, on: On::Job(nth_job()?) },
            },
        )?),
        28 => match (amount, nth(book.evidence.photos().map(|photo| photo.id), which)) {
            (1, _) => Command::BillLine { line: nth_line()?, billing: billing(which, amount) },
            (2, _) => Command::TagJob { job: nth_job()?, tags: Tags::new(vec![label]) },
            (3, Some(photo)) => Command::Caption { photo, caption: label },
            (3, None) => Command::TakePhoto { about: About::Day, photo: a_photo(which) },
            _ => Command::HandOver {
                what: Document::DayBundle { day: phone.now.day(), table: false },
                way: Way::Shared,
                file: BlobId::of(&[which as u8]),
            },
        },
        _ => Command::TellStory { line: nth_line()?, part: StoryPart::ALL[which % 3], text: prose },
    })
}

/// Returns a request about items, their order and what became of them.
fn off_and_on(phone: &Phone, what: u8, which: usize, amount: u32) -> Option<Command> {
    let book = &phone.book;
    let nth_item = |which| nth(book.jobs.jobs().flat_map(|job| book.teardown.items_of(job.id)).map(|it| it.id), which);
    let (item, other) = (nth_item(which), nth_item(which + amount as usize));
    // Some of these statements are taken back, so that orders are made anew.
    let said = || book.jobs.jobs().flat_map(|job| book.teardown.said_of_order(job.id)).map(|it| it.id);
    let consumable = Consumable::ALL[which % Consumable::ALL.len()];
    let details = Details {
        way_up: Label::new(if amount > 3 { "lip down" } else { "" }),
        renew: Renew::new(vec![consumable]),
        needed: Some(Need::ALL[which % Need::ALL.len()]),
        ..Details::default()
    };
    let side = Label::new(["port", "Port", "front", ""][(which / 3) % 4]);
    let facts = ItemFacts { what: Label::new("thing"), count: Count(amount), side, details, ..ItemFacts::default() };
    Some(match what % 15 {
        13 => drawing(book, which, amount)?,
        14 => {
            let groups = book.jobs.jobs().flat_map(|job| book.tightening.groups_of(job.id));
            let group = nth(groups.map(|group| About::Group(group.id)), which);
            let about = [group, item.map(About::Item), Some(About::Day)][which % 3]?;
            Command::TakeVoice { about, voice: a_voice(which) }
        }
        0 | 10 => Command::TakeOff { job: nth(book.jobs.jobs().map(|job| job.id), which)?, item: facts },
        1 | 11 => Command::Tie(Tie { item: item?, kind: TieKind::Behind, other: other? }),
        2 | 12 => Command::Free(Freed(item?, other?)),
        3 => Command::DoInstead { item: item?, how: How::Replaced, count: Count(1), reason: Label::new("worn") },
        4 => Command::DoInstead { item: item?, how: How::LeftOff, count: Count(1), reason: Label::new("none") },
        5 => Command::MakeSure { item: item?, check: Check::WayUp },
        6 => Command::MakeSure { item: item?, check: Check::New(consumable) },
        7 => Command::Withdraw { event: nth(said(), which)? },
        8 => Command::AmendItem { item: item?, facts },
        _ => Command::PutBack { item: item?, count: Count(amount) },
    })
}

/// Returns a request to draw on a photo, to move a mark, or to take one away.
fn drawing(book: &Book, which: usize, amount: u32) -> Option<Command> {
    let photo = nth(book.evidence.photos().map(|photo| photo.id), which)?;
    let marks = &book.evidence.photo_of(photo)?.marks;
    let spot = |at: usize| Spot::new((at * 131 % 10_001) as u16, (at * 977 % 10_001) as u16);
    let mark = match which % 3 {
        0 => Mark::Arrow(spot(which)?, spot(which + 7)?),
        1 => Mark::Stroke((0..which).filter_map(spot).collect()),
        _ => Mark::Words(spot(which)?, Label::new("lip down")),
    };
    let old = marks.get(which.checked_rem(marks.len()).unwrap_or_default()).cloned().filter(|_| amount > 2);
    let moved = old.as_ref().map(|old| old.shifted(-300, 300)).filter(|_| amount > 3);
    Some(Command::Draw { photo, mark: if old.is_some() { moved } else { Some(mark) }, instead_of: old })
}

fn a_voice(which: usize) -> VoiceFacts {
    let (blob, bytes, ms) = (BlobId::of(&[which as u8, 1]), 2, 1_000 * which as u32);
    VoiceFacts { blob, bytes, ms, sound: Sound::ALL[which % Sound::ALL.len()] }
}

/// Returns a mend of some of the last hours, or of a time long past.
fn mend(phone: &Phone, which: usize, amount: u32, doing: Doing) -> Option<Mend> {
    let quarter = 900_000_i64;
    let back = quarter * which as i64;
    let to = Moment::new(phone.now.utc_ms() - back, phone.now.offset_min())?;
    let from = Moment::new(to.utc_ms() - quarter * i64::from(amount * amount) + 7, phone.now.offset_min())?;
    let reason = if amount > 2 { Label::new("forgot to tap") } else { Label::default() };
    Some(Mend { from, to, doing, reason })
}

fn billing(which: usize, amount: u32) -> Billing {
    match which % 3 {
        0 => Billing::ByClock,
        1 => Billing::Flat { minutes: amount * 45 },
        _ => Billing::NoCharge,
    }
}

fn a_photo(which: usize) -> PhotoFacts {
    let (bytes, width, height) = (1, 4, 3);
    let blob = BlobId::of(&[which as u8]);
    PhotoFacts { blob, bytes, width, height, caption: Label::default(), taken: None, position: None }
}

pub(crate) fn nth<T: Copy>(things: impl Iterator<Item = T>, which: usize) -> Option<T> {
    let things: Vec<T> = things.collect();
    things.get(which.checked_rem(things.len())?).copied()
}

pub(crate) fn id() -> impl Strategy<Value = EventId> {
    (0..DEVICES as u8, 1..40_u64).prop_map(|(device, seq)| EventId { device: DeviceId::new([device; 8]), seq })
}

pub(crate) fn label() -> impl Strategy<Value = Label> {
    text().prop_map(|text| Label::new(&text))
}

fn prose() -> impl Strategy<Value = Prose> {
    text().prop_map(|text| Prose::new(&text))
}

/// Any text: plain, of any script, with control characters, with markup.
pub(crate) fn text() -> impl Strategy<Value = String> {
    let any_text = prop::collection::vec(any::<char>(), 0..30).prop_map(|chars| chars.into_iter().collect());
    let hard = prop::sample::select(vec![
        "",
        "</script><script>",
        "<!--",
        "=1+1",
        "\u{202e}gnirts",
        "🛶",
        "مرحبا",
        "\"'&<>",
        "a\r\nb",
        "\u{2028}\u{feff}",
    ]);
    prop_oneof![any_text, hard.prop_map(str::to_owned)]
}

pub(crate) fn moment() -> impl Strategy<Value = Moment> {
    (0..250_000_000_000_000_i64, -1439..=1439_i16).prop_map(|(ms, offset)| Moment::new(ms, offset).unwrap())
}

pub(crate) fn day() -> impl Strategy<Value = Day> {
    moment().prop_map(Moment::day)
}

fn blob() -> impl Strategy<Value = BlobId> {
    any::<u64>().prop_map(|n| BlobId::of(&n.to_be_bytes()))
}

fn boat() -> impl Strategy<Value = BoatFacts> {
    (label(), label(), label(), label()).prop_map(|(name, owner, berth, hin)| BoatFacts { name, owner, berth, hin })
}

fn engine() -> impl Strategy<Value = EngineFacts> {
    let unit = prop::sample::select(PowerUnit::ALL.to_vec());
    let power = prop::option::of((any::<u32>(), unit).prop_map(|(tenths, unit)| Power { tenths, unit }));
    (label(), label(), label(), any::<Option<u16>>(), power)
        .prop_map(|(place, model, serial, year, power)| EngineFacts { place, model, serial, year, power })
}

fn item() -> impl Strategy<Value = ItemFacts> {
    let plain_or_not = prop_oneof![Just(Details::default()), details()];
    (label(), label(), any::<u32>(), label(), label(), plain_or_not).prop_map(
        |(what, side, count, size, stowed, details)| ItemFacts {
            what,
            side,
            count: Count(count),
            size,
            stowed,
            details,
        },
    )
}

fn details() -> impl Strategy<Value = Details> {
    let one_of_all = |all: &[Consumable]| prop::collection::vec(prop::sample::select(all.to_vec()), 0..4);
    (
        prop::option::of(prop::sample::select(ItemKind::ALL.to_vec())),
        label(),
        one_of_all(&Consumable::ALL),
        prop::option::of(prop::sample::select(OpenEnd::ALL.to_vec())),
        any::<bool>(),
        label(),
        need(),
    )
        .prop_map(|(kind, way_up, renew, end, tied_back, awaits, needed)| {
            let renew = Renew::new(renew);
            Details { kind, way_up, renew, end, tied_back, awaits, needed }
        })
}

fn need() -> impl Strategy<Value = Option<Need>> {
    prop::option::of(prop::sample::select(Need::ALL.to_vec()))
}

fn mark() -> impl Strategy<Value = Mark> {
    let spot = || (0..=WHOLE, 0..=WHOLE).prop_map(|(x, y)| Spot::new(x, y).unwrap());
    prop_oneof![
        prop::collection::vec(spot(), 0..6).prop_map(Mark::Stroke),
        (spot(), spot()).prop_map(|(from, to)| Mark::Arrow(from, to)),
        (spot(), any::<u16>()).prop_map(|(middle, radius)| Mark::Ring(middle, radius)),
        (spot(), label()).prop_map(|(at, words)| Mark::Words(at, words)),
    ]
}

fn check() -> impl Strategy<Value = Check> {
    let consumable = prop::sample::select(Consumable::ALL.to_vec());
    prop_oneof![Just(Check::WayUp), consumable.prop_map(Check::New)]
}

/// Returns something about items and their order, a photo's marks or a voice note.
fn third_form() -> BoxedStrategy<Event> {
    let item = || id().prop_map(ItemId);
    let kind = prop::sample::select(TieKind::ALL.to_vec());
    let how = prop::sample::select(vec![How::Replaced, How::LeftOff]);
    let sound = prop::sample::select(Sound::ALL.to_vec());
    prop_oneof![
        (item(), kind, item()).prop_map(|(item, kind, other)| Event::Tied(Tie { item, kind, other })),
        (item(), item()).prop_map(|(one, other)| Event::Freed(Freed(one, other))),
        (item(), how, 1..=u32::MAX, text()).prop_map(|(item, how, count, reason)| {
            let reason = Label::new(&format!("because {reason}"));
            Event::DoneInstead { item, instead: Instead::new(how, Count(count), reason).unwrap() }
        }),
        (item(), check()).prop_map(|(item, check)| Event::MadeSure { item, check }),
        (id(), need()).prop_map(|(step, need)| Event::StepNeeded { step: StepId(step), need }),
        (id(), prop::collection::vec(mark(), 0..4))
            .prop_map(|(photo, marks)| Event::PhotoMarked { photo: PhotoId(photo), marks }),
        (about(), blob(), any::<(u32, u32)>(), sound).prop_map(|(about, blob, (bytes, ms), sound)| Event::VoiceNoted {
            about,
            voice: VoiceFacts { blob, bytes, ms, sound }
        }),
    ]
    .boxed()
}

fn photo() -> impl Strategy<Value = PhotoFacts> {
    let position = any::<Option<(i32, i32)>>().prop_map(|at| at.map(|(lat_e7, lon_e7)| Position { lat_e7, lon_e7 }));
    (blob(), any::<(u32, u16, u16)>(), label(), prop::option::of(moment()), position).prop_map(
        |(blob, (bytes, width, height), caption, taken, position)| PhotoFacts {
            blob,
            bytes,
            width,
            height,
            caption,
            taken,
            position,
        },
    )
}

fn about() -> impl Strategy<Value = About> {
    prop_oneof![
        Just(About::Day),
        id().prop_map(|id| About::Job(JobId(id))),
        id().prop_map(|id| About::Item(ItemId(id))),
        id().prop_map(|id| About::Step(StepId(id))),
        id().prop_map(|id| About::Reading(ReadingId(id))),
        id().prop_map(|id| About::Group(GroupId(id))),
    ]
}

fn doing() -> impl Strategy<Value = Doing> {
    let activity = prop::sample::select(Activity::ALL.to_vec());
    let on =
        prop_oneof![Just(On::NoJob), id().prop_map(|id| On::Job(JobId(id))), id().prop_map(|id| On::Line(LineId(id)))];
    prop_oneof![Just(Doing::Off), (activity, on).prop_map(|(activity, on)| Doing::At { activity, on })]
}

fn document() -> impl Strategy<Value = Document> {
    prop_oneof![
        (day(), any::<bool>()).prop_map(|(day, table)| Document::DayBundle { day, table }),
        id().prop_map(|id| Document::OwnerSummary { job: JobId(id) }),
        id().prop_map(|id| Document::JobFile { job: JobId(id) }),
        id().prop_map(|id| Document::Agreement { job: JobId(id) }),
        any::<u64>().prop_map(|up_to| Document::Backup { up_to }),
        (day(), prop::sample::select(DayTable::ALL.to_vec())).prop_map(|(day, of)| Document::DayTable { day, of }),
        id().prop_map(|id| Document::Procedure { version: VersionId(id) }),
        id().prop_map(|id| Document::WarrantyPack { line: LineId(id) }),
    ]
}

/// Any event of any kind.
pub(crate) fn event() -> BoxedStrategy<Event> {
    let pay = prop::sample::select(PayType::ALL.to_vec());
    let part = prop::sample::select(StoryPart::ALL.to_vec());
    let way = prop::sample::select(vec![Way::Shared, Way::Downloaded]);
    let hours = any::<u32>().prop_map(|tenths| EngineHours { tenths });
    let things = prop_oneof![
        (label(), label()).prop_map(|(name, shop)| Event::TechnicianNamed { name, shop }),
        boat().prop_map(Event::BoatAdded),
        (id(), boat()).prop_map(|(id, facts)| Event::BoatAmended { boat: BoatId(id), facts }),
        (id(), engine()).prop_map(|(id, facts)| Event::EngineAdded { boat: BoatId(id), facts }),
        (id(), engine()).prop_map(|(id, facts)| Event::EngineAmended { engine: EngineId(id), facts }),
        (id(), hours).prop_map(|(id, hours)| Event::EngineHoursRead { engine: EngineId(id), hours }),
    ];
    let jobs = prop_oneof![
        (id(), prop::option::of(id()), label()).prop_map(|(boat, engine, title)| Event::JobOpened {
            boat: BoatId(boat),
            engine: engine.map(EngineId),
            title
        }),
        (id(), label()).prop_map(|(id, title)| Event::JobRetitled { job: JobId(id), title }),
        id().prop_map(|id| Event::JobFinished { job: JobId(id) }),
        id().prop_map(|id| Event::JobReopened { job: JobId(id) }),
        (id(), pay.clone(), prose()).prop_map(|(id, pay, complaint)| Event::LineAdded {
            job: JobId(id),
            pay,
            complaint
        }),
        (id(), pay).prop_map(|(id, pay)| Event::PayTypeSet { line: LineId(id), pay }),
        (id(), part, prose()).prop_map(|(id, part, text)| Event::StoryTold { line: LineId(id), part, text }),
        doing().prop_map(|to| Event::ClockSwitched { to }),
    ];
    let work = prop_oneof![
        (id(), item()).prop_map(|(id, item)| Event::CameOff { job: JobId(id), item }),
        (id(), item()).prop_map(|(id, facts)| Event::ItemAmended { item: ItemId(id), facts }),
        (id(), any::<u32>()).prop_map(|(id, count)| Event::BackOn { item: ItemId(id), count: Count(count) }),
        (id(), label()).prop_map(|(id, text)| Event::StepAdded { job: JobId(id), text }),
        (id(), any::<bool>()).prop_map(|(id, done)| Event::StepTicked { step: StepId(id), done }),
        (about(), prose()).prop_map(|(about, text)| Event::NoteWritten { about, text }),
        (about(), photo()).prop_map(|(about, photo)| Event::PhotoTaken { about, photo }),
        (id(), label(), label(), any::<u32>()).prop_map(|(id, what, number, count)| Event::PartUsed {
            job: JobId(id),
            part: PartFacts { what, number, count: Count(count) }
        }),
        id().prop_map(|event| Event::Withdrawn { event }),
        (document(), way, blob()).prop_map(|(what, way, file)| Event::HandedOver { what, way, file }),
    ];
    let billed = any::<(usize, u32)>().prop_map(|(which, amount)| billing(which, amount % 1_000_000));
    let second_form = prop_oneof![
        (moment(), moment(), doing(), label()).prop_map(|(from, to, doing, reason)| Event::Mended(Mend {
            from,
            to,
            doing,
            reason
        })),
        (id(), billed).prop_map(|(id, billing)| Event::LineBilled { line: LineId(id), billing }),
        (id(), prop::collection::vec(label(), 0..5))
            .prop_map(|(id, words)| Event::JobTagged { job: JobId(id), tags: Tags::new(words) }),
        (id(), label()).prop_map(|(id, caption)| Event::PhotoCaptioned { photo: PhotoId(id), caption }),
    ];
    // A tree of any event holds one of every kind of it, each by itself so that it fits a test's stack.
    let [things, jobs, work, second_form] = [things.boxed(), jobs.boxed(), work.boxed(), second_form.boxed()];
    let later = prop_oneof![
        third_form(),
        tightening::event(),
        procedures::event(),
        reading::event(),
        shop::event(),
        agreement::event(),
        owner::event(),
        claims::event(),
        visits::event(),
    ]
    .boxed();
    prop_oneof![things, jobs, work, second_form, later].boxed()
}
