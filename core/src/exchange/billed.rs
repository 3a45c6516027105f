//! Billing lines as a table: CSV with the columns that an accounting program wants.
//!
//! The form is that of [`super::table`]: RFC 4180, UTF-8 with a byte order mark,
//! text made harmless for spreadsheets. Which columns there are, in which order
//! and with which heads, the office says once: `Head=field,Head=field,…`, or
//! `field` alone for a head that is the field's own name.
//!
//! | field          | value |
//! |----------------|-------|
//! | `export`       | number of the export |
//! | `job`          | the job's name in the log |
//! | `title` `boat` `customer` `technician` | as they are written |
//! | `pay type`     | `customer pay`, `warranty`, `internal` |
//! | `item` `words` `rule` | what it is for, the same for people, what sets the price |
//! | `first day` `last day` | `2026-05-04` |
//! | `quantity` `unit` | a decimal with a point; `hour`, `each` |
//! | `price` `gross` `discount` `net` `currency` | decimals with a point; code of ISO 4217 |
//! | `tax category` `tax rate` `tax reason` | letters of UN/CEFACT 5305; percent; why it is exempt |
//! | `corrects`     | the export that a difference corrects |
//! | `from`         | names of the events that it comes from, with blanks between |

use super::table::{BYTE_ORDER_MARK, harmless, put};
use crate::billing::outgoing::Outgoing;
use crate::money::tax::Tax;

/// A field of a billing line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Field {
    Export,
    Job,
    Title,
    Boat,
    Customer,
    Technician,
    PayType,
    Item,
    Words,
    Rule,
    FirstDay,
    LastDay,
    Quantity,
    Unit,
    Price,
    Gross,
    Discount,
    Net,
    Currency,
    TaxCategory,
    TaxRate,
    TaxReason,
    Corrects,
    From,
}

const FIELDS: [(Field, &str); 24] = [
    (Field::Export, "export"),
    (Field::Job, "job"),
    (Field::Title, "title"),
    (Field::Boat, "boat"),
    (Field::Customer, "customer"),
    (Field::Technician, "technician"),
    (Field::PayType, "pay type"),
    (Field::Item, "item"),
    (Field::Words, "words"),
    (Field::Rule, "rule"),
    (Field::FirstDay, "first day"),
    (Field::LastDay, "last day"),
    (Field::Quantity, "quantity"),
    (Field::Unit, "unit"),
    (Field::Price, "price"),
    (Field::Gross, "gross"),
    (Field::Discount, "discount"),
    (Field::Net, "net"),
    (Field::Currency, "currency"),
    (Field::TaxCategory, "tax category"),
    (Field::TaxRate, "tax rate"),
    (Field::TaxReason, "tax reason"),
    (Field::Corrects, "corrects"),
    (Field::From, "from"),
];

/// The columns of a table, in their order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Columns(Vec<(String, Field)>);

/// Why columns are not understood.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoColumns {
    /// There is no such field.
    #[error("there is no field {0:?}: the fields are {known}", known = known())]
    NoSuchField(String),
    /// A head stands twice.
    #[error("two columns are called {0:?}: give each a name of its own")]
    Twice(String),
}

fn known() -> String {
    FIELDS.map(|(_, name)| name).join(", ")
}

impl Columns {
    /// Returns which fields there are, in words.
    pub fn fields() -> String {
        known()
    }

    /// Returns every field under its own name.
    pub fn all() -> Self {
        Self(FIELDS.iter().map(|&(field, name)| (name.to_owned(), field)).collect())
    }

    /// Tells whether each row says which currency its amounts are in.
    pub fn tell_the_currency(&self) -> bool {
        self.0.iter().any(|(_, field)| *field == Field::Currency)
    }

    /// Reads `Head=field,field,…`.
    ///
    /// # Errors
    /// Returns [`NoColumns`] for a field that there is not and for a head that stands twice.
    pub fn parse(text: &str) -> Result<Self, NoColumns> {
        let mut columns: Vec<(String, Field)> = Vec::new();
        for column in text.split(',') {
            let (head, name) = column.rsplit_once('=').unwrap_or((column, column));
            let (head, name) = (head.trim().to_owned(), name.trim());
            let field = FIELDS.iter().find(|&&(_, known)| known == name);
            let &(field, _) = field.ok_or_else(|| NoColumns::NoSuchField(name.to_owned()))?;
            if columns.iter().any(|(known, _)| *known == head) {
                return Err(NoColumns::Twice(head));
            }
            columns.push((head, field));
        }
        Ok(Self(columns))
    }
}

/// Returns the table of some lines that go out in an export of this number.
pub fn table(lines: &[Outgoing], export: u32, columns: &Columns) -> Vec<u8> {
    let mut rows = String::from(BYTE_ORDER_MARK);
    let heads: Vec<String> = columns.0.iter().map(|(head, _)| harmless(head)).collect();
    put(&mut rows, &heads.iter().map(String::as_str).collect::<Vec<_>>());
    for line in lines {
        let cells: Vec<String> = columns.0.iter().map(|&(_, field)| cell(line, export, field)).collect();
        put(&mut rows, &cells.iter().map(String::as_str).collect::<Vec<_>>());
    }
    rows.into_bytes()
}

fn cell(line: &Outgoing, export: u32, field: Field) -> String {
    match field {
        Field::Export => export.to_string(),
        Field::Job => line.job.to_string(),
        Field::Title => harmless(line.title.as_str()),
        Field::Boat => harmless(line.boat.as_str()),
        Field::Customer => harmless(line.customer.as_str()),
        Field::Technician => harmless(line.technician.as_str()),
        Field::PayType => line.pay.words().to_owned(),
        Field::Item => harmless(&line.item),
        Field::Words => harmless(line.words.as_str()),
        Field::Rule => harmless(line.rule.as_str()),
        Field::FirstDay => line.first.to_string(),
        Field::LastDay => line.last.to_string(),
        Field::Quantity => line.quantity.to_string(),
        Field::Unit => line.unit.words().to_owned(),
        Field::Price => line.price.to_string(),
        Field::Gross => line.gross.to_string(),
        Field::Discount => line.discount.to_string(),
        Field::Net => line.net.to_string(),
        Field::Currency => line.net.currency().code().to_owned(),
        Field::TaxCategory => line.tax.code().to_owned(),
        Field::TaxRate => line.tax.rate().to_string(),
        Field::TaxReason => match &line.tax {
            Tax::Exempt(reason) => harmless(reason.as_str()),
            _ => String::new(),
        },
        Field::Corrects => line.corrects.map(|number| number.to_string()).unwrap_or_default(),
        Field::From => line.from.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_read_as_the_office_says_them() {
        let columns = Columns::parse("Customer no.=customer, net,Text = words").unwrap();
        let heads: Vec<_> = columns.0.iter().map(|(head, _)| head.as_str()).collect();
        assert_eq!(heads, ["Customer no.", "net", "Text"]);
        assert_eq!(columns.0[2].1, Field::Words);
        let error = Columns::parse("Amount=sum").unwrap_err().to_string();
        assert!(error.starts_with("there is no field \"sum\": the fields are export, job,"), "{error}");
        assert_eq!(Columns::parse("a=net,a=gross"), Err(NoColumns::Twice("a".to_owned())));
        assert!(Columns::parse("").is_err());
        let all = FIELDS.map(|(_, name)| name).join(",");
        assert_eq!(Columns::parse(&all), Ok(Columns::all()));
    }
}
