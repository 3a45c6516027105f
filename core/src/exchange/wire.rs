//! The written shape of each event, once, beside and not on the domain types.
//!
//! Every form is told twice: how it is written and how it is read. The compiler
//! refuses a kind that is not written, and a law reads back what was written of
//! every kind. Names are kebab-case, ids and moments are text, an absent field
//! means "not known", and an unknown field is refused.
//!
//! Rule: a change of any shape here is a new version of
//! [`crate::exchange::line`]; the old shape stays readable for ever.

pub(super) mod agreement;
mod evidence;
pub(super) mod procedure;
mod reader;
mod reading;
pub(super) mod shop;
mod teardown;
mod tightening;
pub(super) mod visit;
pub(super) mod warranty;

pub(super) use reading::reading_form;

use super::json::{Fields, Json, Wrong};
use crate::event::{
    About, Activity, Billing, BoatFacts, DayTable, Details, Document, Doing, EngineFacts, Event, ItemFacts, Mend, On,
    PartFacts, PayType, PhotoFacts, Position, StepNumber, StoryPart, Tags, Way,
};
use crate::id::{
    BlobId, BoatId, EngineId, EventId, GroupId, ItemId, JobId, LineId, PhotoId, ProcedureId, ReadingId, StartId,
    StepId, VersionId,
};
use crate::moment::{Day, Moment};
use crate::quantity::{Count, EngineHours, Power, PowerUnit};
use crate::reading::Kind;
use crate::text::{Label, Prose};

/// Returns the version of the line's form that first knew this kind of event
/// and all that it tells.
pub(super) fn version(event: &Event) -> u32 {
    match event {
        Event::ShopRulesSet(_)
        | Event::HandedOver { what: Document::DayTable { .. } | Document::WarrantyPack { .. }, .. }
        | Event::PartFailed { .. }
        | Event::FailedPartAmended { .. }
        | Event::PhotoShows { .. }
        | Event::ReadingStaged { .. }
        | Event::DocumentMade { .. } => 3,
        Event::Mended(_) | Event::LineBilled { .. } | Event::JobTagged { .. } | Event::PhotoCaptioned { .. } => 2,
        Event::GroupAdded { .. }
        | Event::GroupAmended { .. }
        | Event::WrenchTaken { .. }
        | Event::FastenerTightened { .. }
        | Event::EngineDescribed { .. }
        | Event::HandedOver { what: Document::Procedure { .. }, .. }
        | Event::ProcedureKept { .. }
        | Event::ProcedureAmended { .. }
        | Event::ProcedureStarted { .. }
        | Event::StepTaken { .. }
        | Event::Forgotten { .. }
        | Event::ReadingTaken { .. }
        | Event::ReadingAssigned { .. }
        | Event::LimitsSet { .. }
        | Event::NoteWritten { about: About::Reading(_) | About::Group(_), .. }
        | Event::PhotoTaken { about: About::Reading(_) | About::Group(_), .. } => 3,
        Event::CameOff { item: ItemFacts { details, .. }, .. }
        | Event::ItemAmended { facts: ItemFacts { details, .. }, .. } => {
            if *details == Details::default() {
                1
            } else {
                3
            }
        }
        Event::HandedOver { what: Document::JobFile { .. }, .. } => 3,
        Event::Tied(_)
        | Event::Freed(_)
        | Event::DoneInstead { .. }
        | Event::MadeSure { .. }
        | Event::StepNeeded { .. }
        | Event::PhotoMarked { .. }
        | Event::VoiceNoted { .. } => 3,
        Event::ConsentGiven { consent, .. } if agreement::is_of_the_fourth_form(consent) => 4,
        Event::EstimateMade { .. }
        | Event::ConsentGiven { .. }
        | Event::Recommended { .. }
        | Event::RecommendationAnswered { .. }
        | Event::HandedOver { what: Document::Agreement { .. }, .. }
        | Event::OwnerReads { .. }
        | Event::PhotosPaired { .. } => 3,
        Event::NextVisitPlanned { .. } | Event::NextVisitMade { .. } => 4,
        _ => 1,
    }
}

/// Writes an event as an object of one field, named by its kind.
pub(super) fn written(event: &Event) -> Json<'_> {
    let form = Fields::default();
    let (kind, form) = match event {
        Event::TechnicianNamed { name, shop } => {
            ("technician-named", form.put("name", name.as_str()).put("shop", shop.as_str()))
        }
        Event::BoatAdded(facts) => ("boat-added", boat_form(facts)),
        Event::BoatAmended { boat, facts } => {
            ("boat-amended", form.put("boat", boat.to_string()).put("facts", boat_form(facts)))
        }
        Event::EngineAdded { boat, facts } => {
            ("engine-added", form.put("boat", boat.to_string()).put("facts", engine_form(facts)))
        }
        Event::EngineAmended { engine, facts } => {
            ("engine-amended", form.put("engine", engine.to_string()).put("facts", engine_form(facts)))
        }
        Event::EngineHoursRead { engine, hours } => {
            ("engine-hours-read", form.put("engine", engine.to_string()).put("hours", hours_form(*hours)))
        }
        Event::JobOpened { boat, engine, title } => {
            let form = form.put("boat", boat.to_string()).put_known("engine", engine.map(|engine| engine.to_string()));
            ("job-opened", form.put("title", title.as_str()))
        }
        Event::JobRetitled { job, title } => {
            ("job-retitled", form.put("job", job.to_string()).put("title", title.as_str()))
        }
        Event::JobFinished { job } => ("job-finished", form.put("job", job.to_string())),
        Event::JobReopened { job } => ("job-reopened", form.put("job", job.to_string())),
        Event::LineAdded { job, pay, complaint } => {
            let form = form.put("job", job.to_string()).put("pay", pay_word(*pay));
            ("line-added", form.put("complaint", complaint.as_str()))
        }
        Event::PayTypeSet { line, pay } => {
            ("pay-type-set", form.put("line", line.to_string()).put("pay", pay_word(*pay)))
        }
        Event::StoryTold { line, part, text } => {
            let form = form.put("line", line.to_string()).put("part", story_word(*part));
            ("story-told", form.put("text", text.as_str()))
        }
        Event::ClockSwitched { to } => ("clock-switched", form.put("to", doing_form(*to))),
        Event::CameOff { job, item } => {
            ("came-off", form.put("job", job.to_string()).put("item", teardown::item_form(item)))
        }
        Event::ItemAmended { item, facts } => {
            ("item-amended", form.put("item", item.to_string()).put("facts", teardown::item_form(facts)))
        }
        Event::BackOn { item, count } => ("back-on", form.put("item", item.to_string()).put("count", count.0)),
        Event::StepAdded { job, text } => ("step-added", form.put("job", job.to_string()).put("text", text.as_str())),
        Event::StepTicked { step, done } => ("step-ticked", form.put("step", step.to_string()).put("done", *done)),
        Event::NoteWritten { about, text } => {
            ("note-written", form.put("about", about_form(*about)).put("text", text.as_str()))
        }
        Event::PhotoTaken { about, photo } => {
            ("photo-taken", form.put("about", about_form(*about)).put("photo", photo_form(photo)))
        }
        Event::PartUsed { job, part } => ("part-used", form.put("job", job.to_string()).put("part", part_form(part))),
        Event::Withdrawn { event } => ("withdrawn", form.put("event", event.to_string())),
        Event::HandedOver { what, way, file } => {
            let form = form.put("what", document_form(*what)).put("way", way_word(*way));
            ("handed-over", form.put("file", file.to_string()))
        }
        Event::Mended(mend) => {
            let form = form.put("from", mend.from.to_string()).put("to", mend.to.to_string());
            ("mended", form.put("doing", doing_form(mend.doing)).put("reason", mend.reason.as_str()))
        }
        Event::LineBilled { line, billing } => {
            ("line-billed", form.put("line", line.to_string()).put("billing", billing_form(*billing)))
        }
        Event::JobTagged { job, tags } => {
            let words: Vec<Json<'_>> = tags.words().iter().map(|word| word.as_str().into()).collect();
            ("job-tagged", form.put("job", job.to_string()).put("tags", words))
        }
        Event::PhotoCaptioned { photo, caption } => {
            ("photo-captioned", form.put("photo", photo.to_string()).put("caption", caption.as_str()))
        }
        Event::GroupAdded { job, facts } => {
            ("group-added", form.put("job", job.to_string()).put("facts", tightening::group_form(facts)))
        }
        Event::GroupAmended { group, facts } => {
            ("group-amended", form.put("group", group.to_string()).put("facts", tightening::group_form(facts)))
        }
        Event::WrenchTaken { group, wrench, lever } => {
            let form = form.put("group", group.to_string()).put("wrench", tightening::wrench_form(wrench));
            ("wrench-taken", form.put_known("lever", lever.map(tightening::lever_form)))
        }
        Event::FastenerTightened { group, step } => {
            let form = form.put("group", group.to_string()).put("pass", step.pass);
            ("fastener-tightened", form.put("place", step.place.0))
        }
        Event::EngineDescribed { engine, traits } => {
            ("engine-described", form.put("engine", engine.to_string()).put("traits", procedure::traits_form(traits)))
        }
        Event::ProcedureKept { procedure, from } => {
            let form = form.put("procedure", procedure::procedure_form(procedure));
            ("procedure-kept", form.put_known("from", from.map(|job| job.to_string())))
        }
        Event::ProcedureAmended { procedure, to } => {
            let form = form.put("procedure", procedure.to_string());
            ("procedure-amended", form.put("to", procedure::procedure_form(to)))
        }
        Event::ProcedureStarted { job, version } => {
            ("procedure-started", form.put("job", job.to_string()).put("version", version.to_string()))
        }
        Event::StepTaken { start, number, text } => {
            let form = form.put("start", start.to_string()).put("number", number.0);
            ("step-taken", form.put("text", text.as_str()))
        }
        Event::Forgotten { job, step, what } => {
            let form = form.put("job", job.to_string()).put_known("step", step.map(|step| step.to_string()));
            ("forgotten", form.put("what", what.as_str()))
        }
        Event::ReadingTaken { taken_for, reading } => {
            let form = reading::taken_for_form(form, *taken_for);
            ("reading-taken", form.put("reading", reading::reading_form(reading)))
        }
        Event::ReadingAssigned { reading, to } => {
            ("reading-assigned", reading::taken_for_form(form.put("reading", reading.to_string()), *to))
        }
        Event::LimitsSet { engine, kind, limits } => {
            let form = form.put("engine", engine.to_string()).put("kind", kind.slug());
            ("limits-set", form.put("limits", reading::limits_form(limits)).put("source", limits.source.as_str()))
        }
        Event::Tied(tie) => ("tied", teardown::tied_form(*tie)),
        Event::Freed(freed) => ("freed", teardown::freed_form(*freed)),
        Event::DoneInstead { item, instead } => ("done-instead", teardown::instead_form(*item, instead)),
        Event::MadeSure { item, check } => ("made-sure", teardown::sure_form(*item, *check)),
        Event::StepNeeded { step, need } => ("step-needed", teardown::needed_form(*step, *need)),
        Event::PhotoMarked { photo, marks } => ("photo-marked", evidence::marked_form(*photo, marks)),
        Event::VoiceNoted { about, voice } => {
            ("voice-noted", form.put("about", about_form(*about)).put("voice", evidence::voice_form(voice)))
        }
        Event::ShopRulesSet(rules) => ("shop-rules-set", shop::rules_form(rules)),
        Event::EstimateMade { job, estimate } => {
            ("estimate-made", agreement::on_job(*job, "estimate", agreement::estimate_form(estimate)))
        }
        Event::ConsentGiven { job, consent } => {
            ("consent-given", agreement::on_job(*job, "consent", agreement::consent_form(consent)))
        }
        Event::Recommended { job, recommendation } => {
            let form = agreement::recommendation_form(recommendation);
            ("recommended", agreement::on_job(*job, "recommendation", form))
        }
        Event::RecommendationAnswered { recommendation, reply } => {
            let form = form.put("recommendation", recommendation.to_string());
            ("recommendation-answered", form.put("reply", agreement::reply_word(*reply)))
        }
        Event::OwnerReads { boat, reader } => ("owner-reads", reader::reads_form(*boat, *reader)),
        Event::PhotosPaired { before, after, what } => ("photos-paired", evidence::paired_form(*before, *after, what)),
        Event::PartFailed { line, part } => {
            ("part-failed", form.put("line", line.to_string()).put("part", warranty::failed_form(part)))
        }
        Event::FailedPartAmended { failed, part } => {
            let form = form.put("failed", failed.to_string());
            ("failed-part-amended", form.put("part", warranty::failed_form(part)))
        }
        Event::PhotoShows { photo, shows } => ("photo-shows", warranty::shows_form(*photo, *shows)),
        Event::ReadingStaged { reading, stage } => ("reading-staged", warranty::stage_form(*reading, *stage)),
        Event::DocumentMade { what, file } => {
            ("document-made", form.put("what", document_form(*what)).put("file", file.to_string()))
        }
        Event::NextVisitPlanned { job, visit } => {
            ("next-visit-planned", agreement::on_job(*job, "visit", visit::visit_form(visit)))
        }
        Event::NextVisitMade { visit, job } => ("next-visit-made", visit::made_form(*visit, *job)),
    };
    Fields::default().put(kind, form).into()
}

/// Reads what [`written`] writes.
pub(super) fn read(event: Json<'_>) -> Result<Event, Wrong> {
    let (kind, form) = event.only_field("event")?;
    let mut of = form.fields("event")?;
    let event = match &*kind {
        "technician-named" => {
            Event::TechnicianNamed { name: of.parsed("name", label)?, shop: of.parsed("shop", label)? }
        }
        "boat-added" => Event::BoatAdded(boat_facts(&mut of)?),
        "boat-amended" => Event::BoatAmended { boat: of.parsed("boat", boat)?, facts: of.nested("facts", boat_facts)? },
        "engine-added" => {
            Event::EngineAdded { boat: of.parsed("boat", boat)?, facts: of.nested("facts", engine_facts)? }
        }
        "engine-amended" => {
            Event::EngineAmended { engine: of.parsed("engine", engine)?, facts: of.nested("facts", engine_facts)? }
        }
        "engine-hours-read" => {
            let tenths = of.nested("hours", |hours| hours.number("tenths"))?;
            Event::EngineHoursRead { engine: of.parsed("engine", engine)?, hours: EngineHours { tenths } }
        }
        "job-opened" => Event::JobOpened {
            boat: of.parsed("boat", boat)?,
            engine: known(&mut of, "engine", engine)?,
            title: of.parsed("title", label)?,
        },
        "job-retitled" => Event::JobRetitled { job: of.parsed("job", job)?, title: of.parsed("title", label)? },
        "job-finished" => Event::JobFinished { job: of.parsed("job", job)? },
        "job-reopened" => Event::JobReopened { job: of.parsed("job", job)? },
        "line-added" => Event::LineAdded {
            job: of.parsed("job", job)?,
            pay: of.parsed("pay", pay)?,
            complaint: of.parsed("complaint", prose)?,
        },
        "pay-type-set" => Event::PayTypeSet { line: of.parsed("line", line)?, pay: of.parsed("pay", pay)? },
        "story-told" => Event::StoryTold {
            line: of.parsed("line", line)?,
            part: of.parsed("part", story_part)?,
            text: of.parsed("text", prose)?,
        },
        "clock-switched" => Event::ClockSwitched { to: doing(of.take("to")?)? },
        "came-off" => Event::CameOff { job: of.parsed("job", job)?, item: of.nested("item", teardown::item_facts)? },
        "item-amended" => {
            Event::ItemAmended { item: of.parsed("item", item)?, facts: of.nested("facts", teardown::item_facts)? }
        }
        "back-on" => Event::BackOn { item: of.parsed("item", item)?, count: Count(of.number("count")?) },
        "step-added" => Event::StepAdded { job: of.parsed("job", job)?, text: of.parsed("text", label)? },
        "step-ticked" => Event::StepTicked { step: of.parsed("step", step)?, done: of.flag("done")? },
        "note-written" => Event::NoteWritten { about: about(of.take("about")?)?, text: of.parsed("text", prose)? },
        "photo-taken" => {
            Event::PhotoTaken { about: about(of.take("about")?)?, photo: of.nested("photo", photo_facts)? }
        }
        "part-used" => Event::PartUsed { job: of.parsed("job", job)?, part: of.nested("part", part_facts)? },
        "withdrawn" => Event::Withdrawn { event: of.parsed("event", EventId::parse)? },
        "handed-over" => Event::HandedOver {
            what: document(of.take("what")?)?,
            way: of.parsed("way", way)?,
            file: of.parsed("file", BlobId::parse)?,
        },
        "mended" => Event::Mended(Mend {
            from: of.parsed("from", moment)?,
            to: of.parsed("to", moment)?,
            doing: doing(of.take("doing")?)?,
            reason: of.parsed("reason", label)?,
        }),
        "line-billed" => Event::LineBilled { line: of.parsed("line", line)?, billing: billing(of.take("billing")?)? },
        "job-tagged" => Event::JobTagged { job: of.parsed("job", job)?, tags: tags(of.list("tags")?)? },
        "photo-captioned" => {
            Event::PhotoCaptioned { photo: of.parsed("photo", photo)?, caption: of.parsed("caption", label)? }
        }
        "group-added" => Event::GroupAdded {
            job: of.parsed("job", job)?,
            facts: Box::new(of.nested("facts", tightening::group_facts)?),
        },
        "group-amended" => Event::GroupAmended {
            group: of.parsed("group", tightening::group)?,
            facts: Box::new(of.nested("facts", tightening::group_facts)?),
        },
        "wrench-taken" => Event::WrenchTaken {
            group: of.parsed("group", tightening::group)?,
            wrench: of.nested("wrench", tightening::wrench)?,
            lever: tightening::known_lever(&mut of)?,
        },
        "fastener-tightened" => {
            Event::FastenerTightened { group: of.parsed("group", tightening::group)?, step: tightening::step(&mut of)? }
        }
        "engine-described" => Event::EngineDescribed {
            engine: of.parsed("engine", engine)?,
            traits: of.nested("traits", procedure::traits)?,
        },
        "procedure-kept" => Event::ProcedureKept {
            procedure: of.nested("procedure", procedure::procedure)?,
            from: known(&mut of, "from", job)?,
        },
        "procedure-amended" => Event::ProcedureAmended {
            procedure: of.parsed("procedure", |text| EventId::parse(text).map(ProcedureId))?,
            to: of.nested("to", procedure::procedure)?,
        },
        "procedure-started" => Event::ProcedureStarted {
            job: of.parsed("job", job)?,
            version: of.parsed("version", |text| EventId::parse(text).map(VersionId))?,
        },
        "step-taken" => Event::StepTaken {
            start: of.parsed("start", |text| EventId::parse(text).map(StartId))?,
            number: StepNumber(of.number("number")?),
            text: of.parsed("text", label)?,
        },
        "forgotten" => Event::Forgotten {
            job: of.parsed("job", job)?,
            step: known(&mut of, "step", step)?,
            what: of.parsed("what", label)?,
        },
        "reading-taken" => Event::ReadingTaken {
            taken_for: reading::taken_for(&mut of)?,
            reading: Box::new(of.nested("reading", reading::reading_facts)?),
        },
        "reading-assigned" => Event::ReadingAssigned {
            reading: of.parsed("reading", reading::reading)?,
            to: reading::taken_for(&mut of)?,
        },
        "limits-set" => {
            let kind = of.parsed("kind", Kind::parse)?;
            let limits = Box::new(reading::limits(kind, &mut of)?);
            Event::LimitsSet { engine: of.parsed("engine", engine)?, kind, limits }
        }
        "tied" => teardown::tied(&mut of)?,
        "freed" => teardown::freed(&mut of)?,
        "done-instead" => teardown::done_instead(&mut of)?,
        "made-sure" => teardown::made_sure(&mut of)?,
        "step-needed" => teardown::step_needed(&mut of)?,
        "photo-marked" => evidence::photo_marked(&mut of)?,
        "voice-noted" => {
            Event::VoiceNoted { about: about(of.take("about")?)?, voice: of.nested("voice", evidence::voice_facts)? }
        }
        "shop-rules-set" => Event::ShopRulesSet(shop::rules(&mut of)?),
        "estimate-made" => agreement::estimate_made(&mut of)?,
        "consent-given" => agreement::consent_given(&mut of)?,
        "recommended" => agreement::recommended(&mut of)?,
        "recommendation-answered" => agreement::answered(&mut of)?,
        "owner-reads" => reader::owner_reads(&mut of)?,
        "photos-paired" => evidence::photos_paired(&mut of)?,
        "part-failed" => warranty::part_failed(&mut of)?,
        "failed-part-amended" => warranty::amended(&mut of)?,
        "photo-shows" => warranty::photo_shows(&mut of)?,
        "reading-staged" => warranty::reading_staged(&mut of)?,
        "document-made" => {
            Event::DocumentMade { what: document(of.take("what")?)?, file: of.parsed("file", BlobId::parse)? }
        }
        "next-visit-planned" => visit::planned(&mut of)?,
        "next-visit-made" => visit::made(&mut of)?,
        _ => return Err(Wrong::Unknown(kind.into_owned())),
    };
    of.end()?;
    Ok(event)
}

/// Takes out a field whose text stands for something, if it is known.
fn known<'a, T>(of: &mut Fields<'a>, name: &'static str, parse: fn(&str) -> Option<T>) -> Result<Option<T>, Wrong> {
    match of.known(name)? {
        Some(Json::Text(text)) => parse(&text).map(Some).ok_or(Wrong::Unfit(name)),
        Some(_) => Err(Wrong::Unfit(name)),
        None => Ok(None),
    }
}

fn boat(text: &str) -> Option<BoatId> {
    EventId::parse(text).map(BoatId)
}

fn engine(text: &str) -> Option<EngineId> {
    EventId::parse(text).map(EngineId)
}

fn job(text: &str) -> Option<JobId> {
    EventId::parse(text).map(JobId)
}

fn line(text: &str) -> Option<LineId> {
    EventId::parse(text).map(LineId)
}

fn item(text: &str) -> Option<ItemId> {
    EventId::parse(text).map(ItemId)
}

fn step(text: &str) -> Option<StepId> {
    EventId::parse(text).map(StepId)
}

fn photo(text: &str) -> Option<PhotoId> {
    EventId::parse(text).map(PhotoId)
}

/// Reads a moment.
pub(super) fn moment(text: &str) -> Option<Moment> {
    Moment::parse(text).ok()
}

/// Reads a label.
pub(super) fn label(text: &str) -> Option<Label> {
    Some(Label::new(text))
}

/// Reads prose.
pub(super) fn prose(text: &str) -> Option<Prose> {
    Some(Prose::new(text))
}

/// Writes what is known of a boat.
pub(super) fn boat_form(facts: &BoatFacts) -> Fields<'_> {
    let form = Fields::default().put("name", facts.name.as_str()).put("owner", facts.owner.as_str());
    form.put("berth", facts.berth.as_str()).put("hin", facts.hin.as_str())
}

fn boat_facts(of: &mut Fields<'_>) -> Result<BoatFacts, Wrong> {
    Ok(BoatFacts {
        name: of.parsed("name", label)?,
        owner: of.parsed("owner", label)?,
        berth: of.parsed("berth", label)?,
        hin: of.parsed("hin", label)?,
    })
}

/// Writes what is known of an engine.
pub(super) fn engine_form(facts: &EngineFacts) -> Fields<'_> {
    let form = Fields::default().put("place", facts.place.as_str()).put("model", facts.model.as_str());
    let form = form.put("serial", facts.serial.as_str()).put_known("year", facts.year);
    form.put_known("power", facts.power.map(power_form))
}

fn engine_facts(of: &mut Fields<'_>) -> Result<EngineFacts, Wrong> {
    let year = match of.known("year")? {
        Some(Json::Number(year)) => Some(u16::try_from(year).map_err(|_| Wrong::Unfit("year"))?),
        Some(_) => return Err(Wrong::Unfit("year")),
        None => None,
    };
    let power = of.known("power")?.map(|power| power.fields("power")?.whole(power_of)).transpose()?;
    Ok(EngineFacts {
        place: of.parsed("place", label)?,
        model: of.parsed("model", label)?,
        serial: of.parsed("serial", label)?,
        year,
        power,
    })
}

fn power_form(power: Power) -> Fields<'static> {
    Fields::default().put("tenths", power.tenths).put("unit", unit_word(power.unit))
}

fn power_of(of: &mut Fields<'_>) -> Result<Power, Wrong> {
    Ok(Power { tenths: of.number("tenths")?, unit: of.parsed("unit", unit)? })
}

/// Writes what an hour meter shows.
pub(super) fn hours_form(hours: EngineHours) -> Fields<'static> {
    Fields::default().put("tenths", hours.tenths)
}

/// Writes what is known of a part.
pub(super) fn part_form(facts: &PartFacts) -> Fields<'_> {
    let form = Fields::default().put("what", facts.what.as_str()).put("number", facts.number.as_str());
    form.put("count", facts.count.0)
}

/// Reads what is known of a part.
pub(super) fn part_facts(of: &mut Fields<'_>) -> Result<PartFacts, Wrong> {
    Ok(PartFacts {
        what: of.parsed("what", label)?,
        number: of.parsed("number", label)?,
        count: Count(of.number("count")?),
    })
}

fn photo_form(facts: &PhotoFacts) -> Fields<'_> {
    let form = Fields::default().put("blob", facts.blob.to_string()).put("bytes", facts.bytes);
    let form = form.put("width", facts.width).put("height", facts.height).put("caption", facts.caption.as_str());
    let form = form.put_known("taken", facts.taken.map(|taken| taken.to_string()));
    form.put_known("position", facts.position.map(position_form))
}

fn photo_facts(of: &mut Fields<'_>) -> Result<PhotoFacts, Wrong> {
    Ok(PhotoFacts {
        blob: of.parsed("blob", BlobId::parse)?,
        bytes: of.number("bytes")?,
        width: of.number("width")?,
        height: of.number("height")?,
        caption: of.parsed("caption", label)?,
        taken: known(of, "taken", moment)?,
        position: of.known("position")?.map(|place| place.fields("position")?.whole(position)).transpose()?,
    })
}

fn position_form(position: Position) -> Fields<'static> {
    Fields::default().put("lat_e7", position.lat_e7).put("lon_e7", position.lon_e7)
}

fn position(of: &mut Fields<'_>) -> Result<Position, Wrong> {
    Ok(Position { lat_e7: of.signed("lat_e7")?, lon_e7: of.signed("lon_e7")? })
}

/// Writes what is done.
pub(super) fn doing_form(doing: Doing) -> Json<'static> {
    match doing {
        Doing::Off => "off".into(),
        Doing::At { activity, on } => {
            let form = Fields::default().put("activity", activity_word(activity)).put("on", on_form(on));
            Fields::default().put("at", form).into()
        }
    }
}

fn doing(form: Json<'_>) -> Result<Doing, Wrong> {
    if form == Json::from("off") {
        return Ok(Doing::Off);
    }
    form.fields("to")?.whole(|of| {
        of.nested("at", |of| Ok(Doing::At { activity: of.parsed("activity", activity)?, on: on(of.take("on")?)? }))
    })
}

/// Writes how a line is billed.
pub(super) fn billing_form(billing: Billing) -> Json<'static> {
    match billing {
        Billing::ByClock => "by-clock".into(),
        Billing::Flat { minutes } => Fields::default().put("flat", Fields::default().put("minutes", minutes)).into(),
        Billing::NoCharge => "no-charge".into(),
    }
}

/// Reads how a line is billed.
pub(super) fn billing(form: Json<'_>) -> Result<Billing, Wrong> {
    match form {
        Json::Text(word) if word == "by-clock" => Ok(Billing::ByClock),
        Json::Text(word) if word == "no-charge" => Ok(Billing::NoCharge),
        form => form
            .fields("billing")?
            .whole(|of| of.nested("flat", |of| Ok(Billing::Flat { minutes: of.number("minutes")? }))),
    }
}

fn tags(words: Vec<Json<'_>>) -> Result<Tags, Wrong> {
    let mut tags = Vec::with_capacity(words.len());
    for word in words {
        let Json::Text(word) = word else { return Err(Wrong::Unfit("tags")) };
        tags.push(Label::new(&word));
    }
    Ok(Tags::new(tags))
}

/// Writes what it is for.
pub(super) fn on_form(on: On) -> Json<'static> {
    match on {
        On::NoJob => "no-job".into(),
        On::Job(job) => Fields::default().put("job", job.to_string()).into(),
        On::Line(line) => Fields::default().put("line", line.to_string()).into(),
    }
}

fn on(form: Json<'_>) -> Result<On, Wrong> {
    if form == Json::from("no-job") {
        return Ok(On::NoJob);
    }
    let on = match named(form, "on")? {
        (kind, id) if kind == "job" => On::Job(JobId(id)),
        (kind, id) if kind == "line" => On::Line(LineId(id)),
        (kind, _) => return Err(Wrong::Unknown(kind)),
    };
    Ok(on)
}

fn about_form(about: About) -> Json<'static> {
    match about {
        About::Day => "day".into(),
        About::Job(job) => Fields::default().put("job", job.to_string()).into(),
        About::Item(item) => Fields::default().put("item", item.to_string()).into(),
        About::Step(step) => Fields::default().put("step", step.to_string()).into(),
        About::Reading(reading) => Fields::default().put("reading", reading.to_string()).into(),
        About::Group(group) => Fields::default().put("group", group.to_string()).into(),
    }
}

fn about(form: Json<'_>) -> Result<About, Wrong> {
    if form == Json::from("day") {
        return Ok(About::Day);
    }
    let about = match named(form, "about")? {
        (kind, id) if kind == "job" => About::Job(JobId(id)),
        (kind, id) if kind == "item" => About::Item(ItemId(id)),
        (kind, id) if kind == "step" => About::Step(StepId(id)),
        (kind, id) if kind == "reading" => About::Reading(ReadingId(id)),
        (kind, id) if kind == "group" => About::Group(GroupId(id)),
        (kind, _) => return Err(Wrong::Unknown(kind)),
    };
    Ok(about)
}

/// Reads a thing as the word for its kind and its name.
fn named(form: Json<'_>, name: &'static str) -> Result<(String, EventId), Wrong> {
    let (kind, Json::Text(id)) = form.only_field(name)? else { return Err(Wrong::Unfit(name)) };
    Ok((kind.into_owned(), EventId::parse(&id).ok_or(Wrong::Unfit(name))?))
}

fn document_form(document: Document) -> Json<'static> {
    let form = Fields::default();
    let (kind, form) = match document {
        Document::DayBundle { day, table } => ("day-bundle", form.put("day", day.to_string()).put("table", table)),
        Document::DayTable { day, of } => ("day-table", form.put("day", day.to_string()).put("of", table_word(of))),
        Document::OwnerSummary { job } => ("owner-summary", form.put("job", job.to_string())),
        Document::WarrantyPack { line } => ("warranty-pack", form.put("line", line.to_string())),
        Document::JobFile { job } => ("job-file", form.put("job", job.to_string())),
        Document::Backup { up_to } => ("backup", form.put("up-to", up_to)),
        Document::Procedure { version } => ("procedure", form.put("version", version.to_string())),
        Document::Agreement { job } => ("agreement", form.put("job", job.to_string())),
    };
    Fields::default().put(kind, form).into()
}

fn document(form: Json<'_>) -> Result<Document, Wrong> {
    let (kind, form) = form.only_field("what")?;
    let mut of = form.fields("what")?;
    let document = match &*kind {
        "day-bundle" => Document::DayBundle { day: of.parsed("day", Day::parse)?, table: of.flag("table")? },
        "day-table" => Document::DayTable { day: of.parsed("day", Day::parse)?, of: of.parsed("of", table)? },
        "owner-summary" => Document::OwnerSummary { job: of.parsed("job", job)? },
        "warranty-pack" => Document::WarrantyPack { line: of.parsed("line", line)? },
        "job-file" => Document::JobFile { job: of.parsed("job", job)? },
        "backup" => Document::Backup { up_to: of.number("up-to")? },
        "agreement" => Document::Agreement { job: of.parsed("job", job)? },
        "procedure" => {
            Document::Procedure { version: of.parsed("version", |text| EventId::parse(text).map(VersionId))? }
        }
        _ => return Err(Wrong::Unknown(kind.into_owned())),
    };
    of.end()?;
    Ok(document)
}

const fn table_word(table: DayTable) -> &'static str {
    match table {
        DayTable::Billing => "billing",
        DayTable::Mends => "mends",
    }
}

fn table(word: &str) -> Option<DayTable> {
    DayTable::ALL.into_iter().find(|&table| table_word(table) == word)
}

/// Returns the written word of a pay type.
pub(super) const fn pay_word(pay: PayType) -> &'static str {
    match pay {
        PayType::CustomerPay => "customer-pay",
        PayType::Warranty => "warranty",
        PayType::Internal => "internal",
    }
}

/// Reads a pay type.
pub(super) fn pay(word: &str) -> Option<PayType> {
    PayType::ALL.into_iter().find(|&pay| pay_word(pay) == word)
}

const fn story_word(part: StoryPart) -> &'static str {
    match part {
        StoryPart::Complaint => "complaint",
        StoryPart::Cause => "cause",
        StoryPart::Correction => "correction",
    }
}

fn story_part(word: &str) -> Option<StoryPart> {
    StoryPart::ALL.into_iter().find(|&part| story_word(part) == word)
}

/// Returns the written word of an activity.
pub(super) const fn activity_word(activity: Activity) -> &'static str {
    match activity {
        Activity::Labour => "labour",
        Activity::Diagnosis => "diagnosis",
        Activity::Travel => "travel",
        Activity::PartsRun => "parts-run",
        Activity::Waiting => "waiting",
        Activity::Paperwork => "paperwork",
        Activity::MealPeriod => "meal-period",
        Activity::RestPeriod => "rest-period",
    }
}

/// Reads an activity.
pub(super) fn activity(word: &str) -> Option<Activity> {
    Activity::ALL.into_iter().find(|&activity| activity_word(activity) == word)
}

const fn unit_word(unit: PowerUnit) -> &'static str {
    match unit {
        PowerUnit::Kilowatt => "kilowatt",
        PowerUnit::Horsepower => "horsepower",
        PowerUnit::MetricHorsepower => "metric-horsepower",
    }
}

fn unit(word: &str) -> Option<PowerUnit> {
    PowerUnit::ALL.into_iter().find(|&unit| unit_word(unit) == word)
}

const fn way_word(way: Way) -> &'static str {
    match way {
        Way::Shared => "shared",
        Way::Downloaded => "downloaded",
    }
}

fn way(word: &str) -> Option<Way> {
    [Way::Shared, Way::Downloaded].into_iter().find(|&way| way_word(way) == word)
}
