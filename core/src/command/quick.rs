//! What the first screens ask for, decided without the rest.
//!
//! A phone waits for the code of its first screens, and these have no use for
//! what decides all other commands. So what the clock, a note and the way back
//! ask for is a type of its own; whoever takes a [`Request`] need not know which
//! it is, and so brings no code along but that of the requests that are made.

use super::{Command, Refusal, known_about, sized, switch, withdraw};
use crate::book::Book;
use crate::event::{About, Doing, Event};
use crate::id::EventId;
use crate::moment::Moment;
use crate::text::Prose;

/// Something that can be decided on a book.
pub trait Request: 'static {
    /// Decides what it means now, without changing anything; see [`decide`](super::decide).
    ///
    /// # Errors
    /// Returns a [`Refusal`] that says what to do instead.
    fn decide(&self, book: &Book, next: EventId, now: Moment) -> Result<Vec<Event>, Refusal>;

    /// Tells whether withdrawing the event that it becomes takes it back as a whole.
    fn can_be_taken_back(&self) -> bool;
}

impl Request for Command {
    fn decide(&self, book: &Book, next: EventId, now: Moment) -> Result<Vec<Event>, Refusal> {
        super::decide(book, self.clone(), next, now)
    }

    fn can_be_taken_back(&self) -> bool {
        Command::can_be_taken_back(self)
    }
}

/// What the first screens ask for; each means what the [`Command`] of its name means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Quick {
    /// Do something else from now on.
    SwitchClock {
        /// What from now on.
        to: Doing,
    },
    /// Keep a note.
    WriteNote {
        /// What it is about.
        about: About,
        /// The words.
        text: Prose,
    },
    /// Take something back.
    Withdraw {
        /// What said it.
        event: EventId,
    },
}

impl Request for Quick {
    fn decide(&self, book: &Book, _: EventId, _: Moment) -> Result<Vec<Event>, Refusal> {
        self.clone().event(book).map(|event| vec![event])
    }

    fn can_be_taken_back(&self) -> bool {
        true
    }
}

impl Quick {
    /// Returns the one event that it becomes.
    pub(super) fn event(self, book: &Book) -> Result<Event, Refusal> {
        Ok(match self {
            Self::SwitchClock { to } => Event::ClockSwitched { to: switch(book, to)? },
            Self::WriteNote { about, text } => {
                known_about(book, about)?;
                let text = sized(text)?;
                if text.is_empty() {
                    return Err(Refusal::Nameless("the note"));
                }
                Event::NoteWritten { about, text }
            }
            Self::Withdraw { event } => withdraw(book, event)?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Activity, On};
    use crate::id::{DeviceId, JobId};

    #[test]
    fn a_quick_request_comes_to_what_its_command_comes_to() {
        let now = Moment::parse("2026-05-04T07:58:12.000+01:00").unwrap();
        let first = EventId { device: DeviceId::new([1; 8]), seq: 1 };
        let labour = |on| Doing::At { activity: Activity::Labour, on };
        let note =
            |about, text| (Quick::WriteNote { about, text }, Command::WriteNote { about, text: Prose::default() });
        let book = Book::default();
        for (quick, command) in [
            (Quick::SwitchClock { to: labour(On::NoJob) }, Command::SwitchClock { to: labour(On::NoJob) }),
            (Quick::SwitchClock { to: Doing::Off }, Command::SwitchClock { to: Doing::Off }),
            (
                Quick::SwitchClock { to: labour(On::Job(JobId(first))) },
                Command::SwitchClock { to: labour(On::Job(JobId(first))) },
            ),
            (Quick::Withdraw { event: first }, Command::Withdraw { event: first }),
            note(About::Day, Prose::default()),
            note(About::Job(JobId(first)), Prose::default()),
        ] {
            assert_eq!(Request::decide(&quick, &book, first, now), Request::decide(&command, &book, first, now));
            assert_eq!(quick.can_be_taken_back(), command.can_be_taken_back());
        }
        let kept = Quick::WriteNote { about: About::Day, text: Prose::new("salt on the plugs") };
        assert!(Request::decide(&kept, &book, first, now).is_ok_and(|events| events.len() == 1));
    }
}
