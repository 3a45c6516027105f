//! Hours by technician, owner, who pays, activity or month: added up, narrowed, drawn.
//!
//! The hours are the clock's, as [`crate::billing::hours`] takes them out of a book: exact,
//! pauses left out, work on no job without an owner. They are added up while they are heard,
//! so years of many technicians take no more room than their sums.

use std::collections::{BTreeMap, BTreeSet};

use super::answer::{Answer, Bar, Block, Cell, Choice};
use super::asked::{Asked, By};
use super::only::{Month, Only, Paid, Whose};
use crate::billing::hours::DayHours;
use crate::event::Activity;
use crate::moment::Length;
use crate::order;
use crate::text::Label;

/// What hours are added up under.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Key {
    Technician(Label),
    Customer(Label),
    Paid(Paid),
    Activity(Activity),
    Month(Month),
}

/// Hours that are being added up.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sums {
    by: BTreeMap<Key, Length>,
    /// All that there is to narrow by, whatever is asked.
    known: BTreeSet<Key>,
}

impl Sums {
    /// Adds a technician's hours, those that are asked for.
    pub fn add(&mut self, by: By, only: &Only, who: &Label, hours: &[DayHours]) {
        for hour in hours {
            let keys = [
                Key::Technician(who.clone()),
                Key::Customer(hour.of.customer.clone()),
                Key::Paid(Paid::of(hour.of.pay)),
                Key::Activity(hour.of.activity),
                Key::Month(Month::of(hour.day)),
            ];
            if keys.iter().all(|key| takes(only, key)) {
                let [technician, customer, paid, activity, month] = &keys;
                let key = match by {
                    By::Technician => technician,
                    By::Customer => customer,
                    By::Paid => paid,
                    By::Activity => activity,
                    By::Month => month,
                };
                let sum = self.by.entry(key.clone()).or_default();
                *sum = *sum + hour.length;
            }
            for key in keys {
                if !self.known.contains(&key) {
                    self.known.insert(key);
                }
            }
        }
    }

    /// Returns the hours as they were asked for.
    pub fn answer(&self, by: By, only: &Only) -> Answer {
        let rows: Vec<(&Key, Length)> = self.by.iter().map(|(key, length)| (key, *length)).collect();
        let rows = if by == By::Month { rows } else { order::last_first(rows, |(_, length)| *length) };
        let all: Length = rows.iter().map(|(_, length)| *length).sum();
        let bar = |&(key, length): &(&Key, Length)| Bar {
            name: Cell::words(words(key)).to(Asked::Hours(next(by), narrowed(only, key, true))),
            figure: length.clock_face(),
            length,
        };
        let mut blocks = vec![Block::Choices { what: "Add up by", choices: ways(by, only) }];
        blocks.extend(
            [By::Technician, By::Customer, By::Paid, By::Activity, By::Month]
                .into_iter()
                .filter_map(|field| self.choice(field, by, only)),
        );
        let bars: Vec<Bar> = rows.iter().map(bar).collect();
        blocks.push(if bars.is_empty() {
            Block::Note("No hours are like this.".to_owned())
        } else {
            Block::Bars(bars)
        });
        Answer {
            asked: Asked::Hours(by, only.clone()),
            title: format!("Hours by {}", field_words(by)),
            lead: format!("{} by the clock in all, pauses left out; begun minutes are cut.", all.clock_face()),
            blocks,
        }
    }

    /// Returns what one field may be narrowed to; nothing where there is nothing to choose.
    fn choice(&self, field: By, by: By, only: &Only) -> Option<Block> {
        let keys: Vec<&Key> = self.known.iter().filter(|key| field_of(key) == field).take(MOST_CHOICES).collect();
        let chosen = keys.iter().find(|key| is_chosen(only, key)).copied();
        let first = *keys.first()?;
        if keys.len() < 2 {
            return None;
        }
        let open = Choice {
            words: "all".to_owned(),
            asked: Asked::Hours(by, narrowed(only, first, false)),
            chosen: chosen.is_none(),
        };
        let one = |key: &&Key| Choice {
            words: words(key),
            asked: Asked::Hours(by, narrowed(only, key, true)),
            chosen: chosen == Some(*key),
        };
        Some(Block::Choices {
            what: field_head(field),
            choices: [open].into_iter().chain(keys.iter().map(one)).collect(),
        })
    }
}

/// The most values of one field that are offered to choose from; the bars lead to the others.
const MOST_CHOICES: usize = 60;

fn takes(only: &Only, key: &Key) -> bool {
    match key {
        Key::Technician(name) => only.whose.technician.as_ref().is_none_or(|asked| asked == name),
        Key::Customer(name) => only.whose.customer.as_ref().is_none_or(|asked| asked == name),
        Key::Paid(paid) => only.paid.is_none_or(|asked| asked == *paid),
        Key::Activity(activity) => only.activity.is_none_or(|asked| asked == *activity),
        Key::Month(month) => only.month.is_none_or(|asked| asked == *month),
    }
}

fn is_chosen(only: &Only, key: &Key) -> bool {
    narrowed(only, key, true) == *only
}

/// Returns what is asked narrowed to a key, or no more narrowed by its field.
fn narrowed(only: &Only, key: &Key, to_it: bool) -> Only {
    let whose = &only.whose;
    let mut only = only.clone();
    match key {
        Key::Technician(name) => only.whose = whose.of_technician(to_it.then(|| name.clone())),
        Key::Customer(name) => only.whose = Whose { customer: to_it.then(|| name.clone()), ..only.whose },
        Key::Paid(paid) => only.paid = to_it.then_some(*paid),
        Key::Activity(activity) => only.activity = to_it.then_some(*activity),
        Key::Month(month) => only.month = to_it.then_some(*month),
    }
    only
}

fn field_of(key: &Key) -> By {
    match key {
        Key::Technician(_) => By::Technician,
        Key::Customer(_) => By::Customer,
        Key::Paid(_) => By::Paid,
        Key::Activity(_) => By::Activity,
        Key::Month(_) => By::Month,
    }
}

/// Returns by what hours are looked at next, once one bar was chosen.
fn next(by: By) -> By {
    if by == By::Activity { By::Technician } else { By::Activity }
}

fn words(key: &Key) -> String {
    match key {
        Key::Technician(name) => name.or("no name").to_owned(),
        Key::Customer(name) => name.or("no owner written").to_owned(),
        Key::Paid(paid) => paid.words().to_owned(),
        Key::Activity(activity) => activity.words().to_owned(),
        Key::Month(month) => month.words(),
    }
}

fn ways(by: By, only: &Only) -> Vec<Choice> {
    let way =
        |to: By| Choice { words: field_words(to).to_owned(), asked: Asked::Hours(to, only.clone()), chosen: to == by };
    By::ALL.into_iter().map(way).collect()
}

fn field_words(by: By) -> &'static str {
    match by {
        By::Technician => "technician",
        By::Customer => "owner",
        By::Paid => "who pays",
        By::Activity => "activity",
        By::Month => "month",
    }
}

fn field_head(by: By) -> &'static str {
    match by {
        By::Technician => "Technician",
        By::Customer => "Owner",
        By::Paid => "Who pays",
        By::Activity => "Activity",
        By::Month => "Month",
    }
}
