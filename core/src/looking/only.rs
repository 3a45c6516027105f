//! What a question is narrowed to: whose work, who pays, which activity, which month.
//!
//! As text each is a `field=value` of an address, in a fixed order and each at most
//! once, so that one question has one address. A value is percent-encoded (RFC 3986,
//! section 2.1): a customer may be called anything.

use std::fmt;

use crate::event::{Activity, PayType};
use crate::moment::{Day, MONTHS};
use crate::text::Label;

/// Whose work is asked for.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Whose {
    /// One technician's only.
    pub technician: Option<Label>,
    /// One customer's only; an empty name is that of boats whose owner is not written.
    pub customer: Option<Label>,
}

/// Which hours are asked for.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Only {
    /// Whose.
    pub whose: Whose,
    /// Only what is paid like this.
    pub paid: Option<Paid>,
    /// Only this activity.
    pub activity: Option<Activity>,
    /// Only this month.
    pub month: Option<Month>,
}

/// Who pays for time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Paid {
    /// Whoever pays for the line that it is on.
    By(PayType),
    /// Nobody is known to: it is on no line.
    NoLine,
}

/// A month of the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Month {
    year: i32,
    /// From 1 to 12.
    month: u32,
}

impl Whose {
    /// Tells whether work of a technician for a customer is asked for.
    pub fn takes(&self, technician: &Label, customer: &Label) -> bool {
        let is = |asked: &Option<Label>, known: &Label| asked.as_ref().is_none_or(|asked| asked == known);
        is(&self.technician, technician) && is(&self.customer, customer)
    }

    /// Tells whether work that several did for a customer is asked for.
    pub fn takes_any(&self, technicians: &[Label], customer: &Label) -> bool {
        technicians.iter().any(|technician| self.takes(technician, customer))
    }

    /// Returns the same of one technician.
    pub fn of_technician(&self, technician: Option<Label>) -> Self {
        Self { technician, ..self.clone() }
    }

    /// Returns the same of one customer.
    pub fn of_customer(&self, customer: Option<Label>) -> Self {
        Self { customer, ..self.clone() }
    }

    pub(super) fn segments(&self) -> Vec<String> {
        let technician = self.technician.iter().map(|name| format!("technician={}", encoded(name.as_str())));
        let customer = self.customer.iter().map(|name| format!("customer={}", encoded(name.as_str())));
        technician.chain(customer).collect()
    }

    pub(super) fn read(segments: &[&str]) -> Option<Self> {
        let only = Only::read(segments)?;
        (only == Only { whose: only.whose.clone(), ..Only::default() }).then_some(only.whose)
    }
}

impl Only {
    pub(super) fn segments(&self) -> Vec<String> {
        let paid = self.paid.iter().map(|paid| format!("paid={}", slug(paid.words())));
        let activity = self.activity.iter().map(|it| format!("activity={}", slug(it.words())));
        let month = self.month.iter().map(|month| format!("month={month}"));
        self.whose.segments().into_iter().chain(paid).chain(activity).chain(month).collect()
    }

    pub(super) fn read(segments: &[&str]) -> Option<Self> {
        let mut only = Self::default();
        for segment in segments {
            let (field, value) = segment.split_once('=')?;
            let name = || decoded(value).map(|text| Label::new(&text));
            let known = match field {
                "technician" => only.whose.technician.replace(name()?).is_some(),
                "customer" => only.whose.customer.replace(name()?).is_some(),
                "paid" => only.paid.replace(of_slug(&Paid::ALL, Paid::words, value)?).is_some(),
                "activity" => only.activity.replace(of_slug(&Activity::ALL, Activity::words, value)?).is_some(),
                "month" => only.month.replace(Month::parse(value)?).is_some(),
                _ => return None,
            };
            if known {
                return None;
            }
        }
        Some(only)
    }
}

impl Paid {
    /// All, in the order in which they are told.
    pub const ALL: [Paid; 4] =
        [Paid::By(PayType::CustomerPay), Paid::By(PayType::Warranty), Paid::By(PayType::Internal), Paid::NoLine];

    /// Returns how a line is paid, or that there is none.
    pub fn of(pay: Option<PayType>) -> Self {
        pay.map_or(Self::NoLine, Self::By)
    }

    /// Returns it in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::By(pay) => pay.words(),
            Self::NoLine => "on no line",
        }
    }
}

impl Month {
    /// Returns the month that holds a day.
    pub fn of(day: Day) -> Self {
        let (year, month, _) = day.parts();
        Self { year, month }
    }

    /// Reads `2026-05`.
    pub fn parse(text: &str) -> Option<Self> {
        Some(Self::of(Day::parse(&format!("{text}-01"))?))
    }

    /// Returns it in words: `May 2026`.
    pub fn words(self) -> String {
        format!("{} {}", MONTHS[(self.month as usize + 11) % 12], self.year)
    }
}

impl fmt::Display for Month {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}", self.year, self.month)
    }
}

/// Returns words as a part of an address: with hyphens for the blanks.
pub(super) fn slug(words: &str) -> String {
    words.replace(' ', "-")
}

/// Returns which of some things a slug stands for.
pub(super) fn of_slug<T: Copy>(all: &[T], words: impl Fn(T) -> &'static str, text: &str) -> Option<T> {
    all.iter().copied().find(|&one| slug(words(one)) == text)
}

/// Returns text percent-encoded.
pub(super) fn encoded(text: &str) -> String {
    let mut out = String::new();
    for byte in text.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => out.push(char::from(byte)),
            byte => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}

/// Returns percent-encoded text as it was; nothing for what is not so written.
pub(super) fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::new();
    let mut rest = text.as_bytes();
    while let [first, after @ ..] = rest {
        let (byte, after) = match (first, after) {
            (b'%', [high, low, after @ ..]) => (nibble(*high)? << 4 | nibble(*low)?, after),
            (b'%', _) => return None,
            _ => (*first, after),
        };
        bytes.push(byte);
        rest = after;
    }
    String::from_utf8(bytes).ok()
}

fn nibble(digit: u8) -> Option<u8> {
    char::from(digit).to_digit(16).and_then(|it| u8::try_from(it).ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_may_be_anything() {
        // RFC 3986, section 2.1: percent, then two hexadecimal digits for each octet.
        assert_eq!(encoded("Reed & Söhne/2"), "Reed%20%26%20S%C3%B6hne%2F2");
        assert_eq!(decoded("Reed%20%26%20S%c3%B6hne%2F2").as_deref(), Some("Reed & Söhne/2"));
        for wrong in ["%", "%2", "%zz", "%+1", "%ff"] {
            assert_eq!(decoded(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn months_are_read_and_told() {
        let month = Month::parse("2026-05").unwrap();
        assert_eq!((month.to_string(), month.words()), ("2026-05".to_owned(), "May 2026".to_owned()));
        for wrong in ["2026", "2026-13", "2026-5", "2026-05-01", ""] {
            assert_eq!(Month::parse(wrong), None, "{wrong}");
        }
    }
}
