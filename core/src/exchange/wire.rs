//! The written shape of each event, once, beside and not on the domain types.
//!
//! Every form here mirrors a type of [`crate::event`]; the compiler refuses a
//! mirror that no longer fits. Names are kebab-case, ids and moments are text,
//! an absent field means "not known", and an unknown field is refused, because
//! a reader that skips what it does not understand would count wrongly.
//!
//! Rule: a change of any shape here is a new version of
//! [`crate::exchange::line`]; the old shape stays readable for ever.

use std::fmt::{self, Display};
use std::marker::PhantomData;

use serde::de::Visitor;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::event::{
    About, Activity, BoatFacts, Document, Doing, EngineFacts, Event, ItemFacts, On, PartFacts, PayType, PhotoFacts,
    Position, StoryPart, Way,
};
use crate::id::{BlobId, BoatId, EngineId, EventId, Hash, ItemId, JobId, LineId, StepId};
use crate::log::Hlc;
use crate::moment::{Day, Moment};
use crate::quantity::{Count, EngineHours, Power, PowerUnit};
use crate::text::{Label, Prose};

/// A value with a text form that reads back.
pub(crate) trait Written: Display + Sized {
    /// What a reader would call it.
    const NAME: &'static str;
    /// Reads the text form.
    fn read(text: &str) -> Option<Self>;
}

macro_rules! written {
    ($($kind:ty, $name:literal, $read:expr;)+) => {$(
        impl Written for $kind {
            const NAME: &'static str = $name;
            fn read(text: &str) -> Option<Self> {
                $read(text)
            }
        }
    )+};
}

written! {
    EventId, "the name of an event", EventId::parse;
    BoatId, "the name of a boat", |text| EventId::parse(text).map(BoatId);
    EngineId, "the name of an engine", |text| EventId::parse(text).map(EngineId);
    JobId, "the name of a job", |text| EventId::parse(text).map(JobId);
    LineId, "the name of a job line", |text| EventId::parse(text).map(LineId);
    ItemId, "the name of an item", |text| EventId::parse(text).map(ItemId);
    StepId, "the name of a step", |text| EventId::parse(text).map(StepId);
    BlobId, "a SHA-256", BlobId::parse;
    Hash, "a SHA-256", Hash::parse;
    Hlc, "a hybrid logical clock", Hlc::parse;
    Moment, "a moment", |text| Moment::parse(text).ok();
    Day, "a day", Day::parse;
    Label, "a label", |text| Some(Label::new(text));
    Prose, "prose", |text| Some(Prose::new(text));
}

struct TextOf<T>(PhantomData<T>);

impl<T: Written> Visitor<'_> for TextOf<T> {
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(T::NAME)
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<T, E> {
        T::read(text).ok_or_else(|| E::custom(T::NAME))
    }
}

/// Writes a value as its text.
pub(crate) mod text {
    use super::{Deserializer, PhantomData, Serializer, TextOf, Written};

    pub(crate) fn serialize<T: Written, S: Serializer>(value: &T, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(value)
    }

    pub(crate) fn deserialize<'de, T: Written, D: Deserializer<'de>>(from: D) -> Result<T, D::Error> {
        from.deserialize_str(TextOf(PhantomData))
    }
}

/// Writes a value that may be absent as its text.
pub(crate) mod text_or_none {
    use super::{Deserialize, Deserializer, Serializer, Written};

    pub(crate) fn serialize<T: Written, S: Serializer>(value: &Option<T>, to: S) -> Result<S::Ok, S::Error> {
        match value {
            Some(value) => to.collect_str(value),
            None => to.serialize_none(),
        }
    }

    pub(crate) fn deserialize<'de, T: Written, D: Deserializer<'de>>(from: D) -> Result<Option<T>, D::Error> {
        #[derive(Deserialize)]
        #[serde(bound = "T: Written")]
        struct AsText<T>(#[serde(with = "super::text")] T);
        Ok(Option::<AsText<T>>::deserialize(from)?.map(|AsText(value)| value))
    }
}

fn is_none<T>(value: &Option<T>) -> bool {
    value.is_none()
}

/// The form of [`Event`].
#[derive(Serialize, Deserialize)]
#[serde(remote = "Event", rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) enum EventForm {
    TechnicianNamed {
        #[serde(with = "text")]
        name: Label,
        #[serde(with = "text")]
        shop: Label,
    },
    BoatAdded(#[serde(with = "BoatForm")] BoatFacts),
    BoatAmended {
        #[serde(with = "text")]
        boat: BoatId,
        #[serde(with = "BoatForm")]
        facts: BoatFacts,
    },
    EngineAdded {
        #[serde(with = "text")]
        boat: BoatId,
        #[serde(with = "EngineForm")]
        facts: EngineFacts,
    },
    EngineAmended {
        #[serde(with = "text")]
        engine: EngineId,
        #[serde(with = "EngineForm")]
        facts: EngineFacts,
    },
    EngineHoursRead {
        #[serde(with = "text")]
        engine: EngineId,
        #[serde(with = "EngineHoursForm")]
        hours: EngineHours,
    },
    JobOpened {
        #[serde(with = "text")]
        boat: BoatId,
        #[serde(with = "text_or_none", default, skip_serializing_if = "is_none")]
        engine: Option<EngineId>,
        #[serde(with = "text")]
        title: Label,
    },
    JobRetitled {
        #[serde(with = "text")]
        job: JobId,
        #[serde(with = "text")]
        title: Label,
    },
    JobFinished {
        #[serde(with = "text")]
        job: JobId,
    },
    JobReopened {
        #[serde(with = "text")]
        job: JobId,
    },
    LineAdded {
        #[serde(with = "text")]
        job: JobId,
        #[serde(with = "PayTypeForm")]
        pay: PayType,
        #[serde(with = "text")]
        complaint: Prose,
    },
    PayTypeSet {
        #[serde(with = "text")]
        line: LineId,
        #[serde(with = "PayTypeForm")]
        pay: PayType,
    },
    StoryTold {
        #[serde(with = "text")]
        line: LineId,
        #[serde(with = "StoryPartForm")]
        part: StoryPart,
        #[serde(with = "text")]
        text: Prose,
    },
    ClockSwitched {
        #[serde(with = "DoingForm")]
        to: Doing,
    },
    CameOff {
        #[serde(with = "text")]
        job: JobId,
        #[serde(with = "ItemForm")]
        item: ItemFacts,
    },
    ItemAmended {
        #[serde(with = "text")]
        item: ItemId,
        #[serde(with = "ItemForm")]
        facts: ItemFacts,
    },
    BackOn {
        #[serde(with = "text")]
        item: ItemId,
        #[serde(with = "CountForm")]
        count: Count,
    },
    StepAdded {
        #[serde(with = "text")]
        job: JobId,
        #[serde(with = "text")]
        text: Label,
    },
    StepTicked {
        #[serde(with = "text")]
        step: StepId,
        done: bool,
    },
    NoteWritten {
        #[serde(with = "AboutForm")]
        about: About,
        #[serde(with = "text")]
        text: Prose,
    },
    PhotoTaken {
        #[serde(with = "AboutForm")]
        about: About,
        #[serde(with = "PhotoForm")]
        photo: PhotoFacts,
    },
    PartUsed {
        #[serde(with = "text")]
        job: JobId,
        #[serde(with = "PartForm")]
        part: PartFacts,
    },
    Withdrawn {
        #[serde(with = "text")]
        event: EventId,
    },
    HandedOver {
        #[serde(with = "DocumentForm")]
        what: Document,
        #[serde(with = "WayForm")]
        way: Way,
        #[serde(with = "text")]
        file: BlobId,
    },
}

/// The form of [`BoatFacts`].
#[derive(Serialize, Deserialize)]
#[serde(remote = "BoatFacts", deny_unknown_fields)]
pub(crate) struct BoatForm {
    #[serde(with = "text")]
    name: Label,
    #[serde(with = "text")]
    owner: Label,
    #[serde(with = "text")]
    berth: Label,
    #[serde(with = "text")]
    hin: Label,
}

/// The form of [`EngineFacts`].
#[derive(Serialize, Deserialize)]
#[serde(remote = "EngineFacts", deny_unknown_fields)]
pub(crate) struct EngineForm {
    #[serde(with = "text")]
    place: Label,
    #[serde(with = "text")]
    model: Label,
    #[serde(with = "text")]
    serial: Label,
    #[serde(default, skip_serializing_if = "is_none")]
    year: Option<u16>,
    #[serde(with = "power_or_none", default, skip_serializing_if = "is_none")]
    power: Option<Power>,
}

/// The form of [`EngineHours`].
#[derive(Serialize, Deserialize)]
#[serde(remote = "EngineHours", deny_unknown_fields)]
pub(crate) struct EngineHoursForm {
    tenths: u32,
}

#[derive(Serialize, Deserialize)]
#[serde(remote = "Power", deny_unknown_fields)]
struct PowerForm {
    tenths: u32,
    #[serde(with = "PowerUnitForm")]
    unit: PowerUnit,
}

mod power_or_none {
    use super::{Deserialize, Deserializer, Power, PowerForm, Serialize, Serializer};

    pub(super) fn serialize<S: Serializer>(power: &Option<Power>, to: S) -> Result<S::Ok, S::Error> {
        #[derive(Serialize)]
        struct AsForm<'a>(#[serde(with = "PowerForm")] &'a Power);
        power.as_ref().map(AsForm).serialize(to)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Power>, D::Error> {
        #[derive(Deserialize)]
        struct AsForm(#[serde(with = "PowerForm")] Power);
        Ok(Option::<AsForm>::deserialize(from)?.map(|AsForm(power)| power))
    }
}

#[derive(Serialize, Deserialize)]
#[serde(remote = "PowerUnit", rename_all = "kebab-case")]
enum PowerUnitForm {
    Kilowatt,
    Horsepower,
    MetricHorsepower,
}

/// The form of [`PayType`].
#[derive(Serialize, Deserialize)]
#[serde(remote = "PayType", rename_all = "kebab-case")]
pub(crate) enum PayTypeForm {
    CustomerPay,
    Warranty,
    Internal,
}

#[derive(Serialize, Deserialize)]
#[serde(remote = "StoryPart", rename_all = "kebab-case")]
enum StoryPartForm {
    Complaint,
    Cause,
    Correction,
}

/// The form of [`Activity`].
#[derive(Serialize, Deserialize)]
#[serde(remote = "Activity", rename_all = "kebab-case")]
pub(crate) enum ActivityForm {
    Labour,
    Diagnosis,
    Travel,
    PartsRun,
    Waiting,
    Paperwork,
    MealPeriod,
    RestPeriod,
}

#[derive(Serialize, Deserialize)]
#[serde(remote = "On", rename_all = "kebab-case")]
enum OnForm {
    NoJob,
    Job(#[serde(with = "text")] JobId),
    Line(#[serde(with = "text")] LineId),
}

#[derive(Serialize, Deserialize)]
#[serde(remote = "Doing", rename_all = "kebab-case", deny_unknown_fields)]
enum DoingForm {
    Off,
    At {
        #[serde(with = "ActivityForm")]
        activity: Activity,
        #[serde(with = "OnForm")]
        on: On,
    },
}

/// The form of [`ItemFacts`].
#[derive(Serialize, Deserialize)]
#[serde(remote = "ItemFacts", deny_unknown_fields)]
pub(crate) struct ItemForm {
    #[serde(with = "text")]
    what: Label,
    #[serde(with = "text")]
    side: Label,
    #[serde(with = "CountForm")]
    count: Count,
    #[serde(with = "text")]
    size: Label,
    #[serde(with = "text")]
    stowed: Label,
}

#[derive(Serialize, Deserialize)]
#[serde(remote = "Count", transparent)]
struct CountForm(u32);

#[derive(Serialize, Deserialize)]
#[serde(remote = "About", rename_all = "kebab-case")]
enum AboutForm {
    Day,
    Job(#[serde(with = "text")] JobId),
    Item(#[serde(with = "text")] ItemId),
    Step(#[serde(with = "text")] StepId),
}

/// The form of [`PhotoFacts`].
#[derive(Serialize, Deserialize)]
#[serde(remote = "PhotoFacts", deny_unknown_fields)]
pub(crate) struct PhotoForm {
    #[serde(with = "text")]
    blob: BlobId,
    bytes: u32,
    width: u16,
    height: u16,
    #[serde(with = "text")]
    caption: Label,
    #[serde(with = "text_or_none", default, skip_serializing_if = "is_none")]
    taken: Option<Moment>,
    #[serde(with = "position_or_none", default, skip_serializing_if = "is_none")]
    position: Option<Position>,
}

mod position_or_none {
    use super::{D7, Deserialize, Deserializer, Position, Serialize, Serializer};

    pub(super) fn serialize<S: Serializer>(position: &Option<Position>, to: S) -> Result<S::Ok, S::Error> {
        position.map(|p| D7 { lat_e7: p.lat_e7, lon_e7: p.lon_e7 }).serialize(to)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Position>, D::Error> {
        let read = Option::<D7>::deserialize(from)?;
        Ok(read.map(|p| Position { lat_e7: p.lat_e7, lon_e7: p.lon_e7 }))
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct D7 {
    lat_e7: i32,
    lon_e7: i32,
}

/// The form of [`PartFacts`].
#[derive(Serialize, Deserialize)]
#[serde(remote = "PartFacts", deny_unknown_fields)]
pub(crate) struct PartForm {
    #[serde(with = "text")]
    what: Label,
    #[serde(with = "text")]
    number: Label,
    #[serde(with = "CountForm")]
    count: Count,
}

#[derive(Serialize, Deserialize)]
#[serde(remote = "Document", rename_all = "kebab-case", deny_unknown_fields)]
enum DocumentForm {
    DayBundle {
        #[serde(with = "text")]
        day: Day,
        table: bool,
    },
    OwnerSummary {
        #[serde(with = "text")]
        job: JobId,
    },
    #[serde(rename_all = "kebab-case")]
    Backup { up_to: u64 },
}

#[derive(Serialize, Deserialize)]
#[serde(remote = "Way", rename_all = "kebab-case")]
enum WayForm {
    Shared,
    Downloaded,
}
