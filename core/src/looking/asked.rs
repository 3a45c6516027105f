//! What is asked for, as an address.
//!
//! | address | question |
//! |---------|----------|
//! | `board` | which jobs are open, and how they stand |
//! | `parts` | which parts are wanted |
//! | `claims` | which lines are claimed under warranty, and what they lack |
//! | `unbilled` | what would be billed and did not go out |
//! | `hours/<field>` | hours, added up by `technician`, `customer`, `paid`, `activity` or `month` |
//! | `claim/<id>` | one claimed line, from which its pack is made |
//! | `find/<words>` | where all these words stand |
//! | `boat/<id>` | a boat's history |
//! | `job/<id>` | one job, all its days |
//! | `why/<job>/<pays>/<item>` | where a billed line comes from |
//! | `why/<id>` | what was said, and what it counts for |
//!
//! The first five may be narrowed: `/technician=<name>`, `/customer=<name>`, and the
//! hours also `/paid=<pays>`, `/activity=<activity>`, `/month=2026-05`. Words are
//! percent-encoded. What is no address is refused, never guessed at.

use std::fmt;

use super::only::{Only, Whose, decoded, encoded, of_slug, slug};
use crate::billing::bill::Item;
use crate::event::PayType;
use crate::id::{BoatId, EventId, JobId, LineId};
use crate::text::Label;

/// A question.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Asked {
    /// Which jobs are open.
    Board(Whose),
    /// Which parts are wanted.
    Parts(Whose),
    /// Which lines are claimed under warranty.
    Claims(Whose),
    /// One of these.
    Claim(LineId),
    /// What did not go out.
    Unbilled(Whose),
    /// Hours, added up by one field.
    Hours(By, Only),
    /// Where words stand.
    Find(Label),
    /// A boat's history.
    Boat(BoatId),
    /// One job.
    Job(JobId),
    /// Where something comes from.
    Why(Why),
}

/// Of what it is asked where it comes from.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// A line of a bill.
    Billed {
        /// The job.
        job: JobId,
        /// Who pays.
        pay: PayType,
        /// What the line is for.
        item: Item,
    },
    /// Something that was said.
    Said(EventId),
}

/// What hours are added up by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum By {
    /// Who did it.
    Technician,
    /// Whose boat it was.
    Customer,
    /// Who pays.
    Paid,
    /// What was done.
    Activity,
    /// When.
    Month,
}

impl By {
    /// All, in the order in which they are offered.
    pub const ALL: [By; 5] = [By::Technician, By::Customer, By::Paid, By::Activity, By::Month];

    /// Returns the word.
    pub const fn words(self) -> &'static str {
        match self {
            By::Technician => "technician",
            By::Customer => "customer",
            By::Paid => "paid",
            By::Activity => "activity",
            By::Month => "month",
        }
    }
}

impl Asked {
    /// Reads an address; nothing for what is none.
    pub fn parse(text: &str) -> Option<Self> {
        let segments: Vec<&str> = text.split('/').collect();
        let (&head, rest) = segments.split_first()?;
        let id = |text: &str| EventId::parse(text);
        Some(match (head, rest) {
            ("board", whose) => Self::Board(Whose::read(whose)?),
            ("parts", whose) => Self::Parts(Whose::read(whose)?),
            ("claims", whose) => Self::Claims(Whose::read(whose)?),
            ("claim", [line]) => Self::Claim(LineId(id(line)?)),
            ("unbilled", whose) => Self::Unbilled(Whose::read(whose)?),
            ("hours", [by, only @ ..]) => Self::Hours(of_slug(&By::ALL, By::words, by)?, Only::read(only)?),
            ("find", [words]) => Self::Find(Label::new(&decoded(words)?)),
            ("boat", [boat]) => Self::Boat(BoatId(id(boat)?)),
            ("job", [job]) => Self::Job(JobId(id(job)?)),
            ("why", [event]) => Self::Why(Why::Said(id(event)?)),
            ("why", [job, pay, item]) => Self::Why(Why::Billed {
                job: JobId(id(job)?),
                pay: of_slug(&PayType::ALL, PayType::words, pay)?,
                item: Item::parse(&decoded(item)?)?,
            }),
            _ => return None,
        })
    }

    /// Returns the questions that anybody may begin with, each with its words.
    pub fn places() -> [(&'static str, Asked); 5] {
        let whose = Whose::default;
        [
            ("Open jobs", Self::Board(whose())),
            ("Parts wanted", Self::Parts(whose())),
            ("Claims", Self::Claims(whose())),
            ("Unbilled work", Self::Unbilled(whose())),
            ("Hours", Self::Hours(By::Activity, Only::default())),
        ]
    }

    /// Tells whether two questions are the same but for what they are narrowed to.
    pub fn is_like(&self, other: &Asked) -> bool {
        std::mem::discriminant(self) == std::mem::discriminant(other)
    }
}

impl Why {
    /// Reads a line's key as an export's marks and this program's text write it:
    /// `<job>, <pays>: <item>`, and whatever follows ` at "`.
    pub fn of_key(text: &str) -> Option<Self> {
        let (job, rest) = text.split_once(", ")?;
        let (pay, rest) = rest.split_once(": ")?;
        let item = rest.split_once(" at \"").map_or(rest, |(item, _)| item);
        Some(Self::Billed {
            job: JobId(EventId::parse(job)?),
            pay: PayType::ALL.into_iter().find(|known| known.words() == pay)?,
            item: Item::parse(item)?,
        })
    }
}

impl fmt::Display for Asked {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (head, segments) = match self {
            Self::Board(whose) => ("board", whose.segments()),
            Self::Parts(whose) => ("parts", whose.segments()),
            Self::Claims(whose) => ("claims", whose.segments()),
            Self::Claim(line) => ("claim", vec![line.to_string()]),
            Self::Unbilled(whose) => ("unbilled", whose.segments()),
            Self::Hours(by, only) => ("hours", [by.words().to_owned()].into_iter().chain(only.segments()).collect()),
            Self::Find(words) => ("find", vec![encoded(words.as_str())]),
            Self::Boat(boat) => ("boat", vec![boat.to_string()]),
            Self::Job(job) => ("job", vec![job.to_string()]),
            Self::Why(Why::Said(event)) => ("why", vec![event.to_string()]),
            Self::Why(Why::Billed { job, pay, item }) => {
                ("why", vec![job.to_string(), slug(pay.words()), encoded(&item.to_string())])
            }
        };
        f.write_str(head)?;
        segments.iter().try_for_each(|segment| write!(f, "/{segment}"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::Activity;
    use crate::id::{DeviceId, PartId};
    use crate::looking::only::{Month, Paid};
    use proptest::prelude::*;
    use proptest::sample::select;

    fn any_event() -> impl Strategy<Value = EventId> {
        (any::<[u8; 8]>(), 1..=u64::MAX).prop_map(|(device, seq)| EventId { device: DeviceId::new(device), seq })
    }

    fn any_label() -> impl Strategy<Value = Label> {
        "\\PC{0,20}|[a-z/=% &?#é]{0,9}".prop_map(|text| Label::new(&text))
    }

    fn any_whose() -> impl Strategy<Value = Whose> {
        let name = || prop::option::of(any_label());
        (name(), name()).prop_map(|(technician, customer)| Whose { technician, customer })
    }

    fn any_only() -> impl Strategy<Value = Only> {
        let month = (0..=9_999, 1..=12_u32).prop_map(|(year, month)| Month::parse(&format!("{year:04}-{month:02}")));
        let paid = prop::option::of(select(Paid::ALL.to_vec()));
        let activity = prop::option::of(select(Activity::ALL.to_vec()));
        let narrowed = (any_whose(), paid, activity, prop_oneof![Just(None), month]);
        narrowed.prop_map(|(whose, paid, activity, month)| Only { whose, paid, activity, month })
    }

    fn any_item() -> impl Strategy<Value = Item> {
        let line = || any_event().prop_map(LineId);
        prop_oneof![
            (line(), select(Activity::ALL.to_vec())).prop_map(|(line, activity)| Item::Time(line, activity)),
            line().prop_map(Item::Flat),
            line().prop_map(Item::NoCharge),
            any_label().prop_map(Item::Zone),
            any_event().prop_map(|part| Item::Part(PartId(part))),
            select(vec![Item::Least, Item::Minimum, Item::Supplies]),
        ]
    }

    fn any_asked() -> impl Strategy<Value = Asked> {
        let billed = (any_event(), select(PayType::ALL.to_vec()), any_item());
        prop_oneof![
            any_whose().prop_map(Asked::Board),
            any_whose().prop_map(Asked::Parts),
            any_whose().prop_map(Asked::Claims),
            any_event().prop_map(|id| Asked::Claim(LineId(id))),
            any_whose().prop_map(Asked::Unbilled),
            (select(By::ALL.to_vec()), any_only()).prop_map(|(by, only)| Asked::Hours(by, only)),
            any_label().prop_map(Asked::Find),
            any_event().prop_map(|id| Asked::Boat(BoatId(id))),
            any_event().prop_map(|id| Asked::Job(JobId(id))),
            any_event().prop_map(|id| Asked::Why(Why::Said(id))),
            billed.prop_map(|(job, pay, item)| Asked::Why(Why::Billed { job: JobId(job), pay, item })),
        ]
    }

    proptest! {
        #[test]
        fn every_question_is_read_as_it_was_written(asked in any_asked()) {
            let text = asked.to_string();
            prop_assert!(text.bytes().all(|it| it.is_ascii_graphic() && !b"?#&\"'<>".contains(&it)), "{}", text);
            prop_assert_eq!(Asked::parse(&text), Some(asked));
        }

        #[test]
        fn any_text_is_an_address_or_none(text in "(board|hours|why|find)?[a-z0-9/=%-]{0,30}|\\PC{0,30}") {
            if let Some(asked) = Asked::parse(&text) {
                prop_assert_eq!(Asked::parse(&asked.to_string()), Some(asked));
            }
        }

        #[test]
        fn a_key_leads_to_its_line(job in any_event(), pay in select(PayType::ALL.to_vec()), item in any_item()) {
            let why = Why::Billed { job: JobId(job), pay, item: item.clone() };
            let key = format!("{job}, {}: {item}", pay.words());
            // A zone may be called by what stands between item and rule.
            if !item.to_string().contains(" at \"") {
                prop_assert_eq!(Why::of_key(&key), Some(why.clone()));
                prop_assert_eq!(Why::of_key(&format!("{key} at \"yard\", S 20 GBP")), Some(why));
            }
        }
    }

    #[test]
    fn addresses_look_like_this() {
        let event = EventId::parse("0101010101010101-5").unwrap();
        let item = Item::Time(LineId(event), Activity::PartsRun);
        let why = Asked::Why(Why::Billed { job: JobId(event), pay: PayType::CustomerPay, item });
        let text = "why/0101010101010101-5/customer-pay/0101010101010101-5%20parts%20run";
        assert_eq!(why.to_string(), text);
        let hours = Asked::parse("hours/customer/technician=M.%20Sluice/paid=on-no-line/month=2026-05").unwrap();
        let Asked::Hours(By::Customer, only) = &hours else { panic!("{hours:?}") };
        assert_eq!(only.whose.technician, Some(Label::new("M. Sluice")));
        for wrong in
            ["", "boards", "board/", "board/paid=warranty", "board/technician=a/technician=b", "why", "boat/7", "job/"]
        {
            assert_eq!(Asked::parse(wrong), None, "{wrong}");
        }
    }
}
