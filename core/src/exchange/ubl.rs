//! Drafts of invoices as XML that accounting programs and tax portals read.
//!
//! The form is UBL 2.1 (OASIS Standard, 2013; ISO/IEC 19845), `Invoice` and
//! `CreditNote`, with the elements that EN 16931-1 binds to it (CEN/TS
//! 16931-3-2) in the order of the schemas, and no others. The number is that of
//! the export with which of its drafts: `3-1`.
//!
//! A line whose quantity times price is not its amount to the last unit, as the
//! difference of two rounded amounts may be, goes out as one piece at that
//! amount, and what it was made of stands in its note. What was taken off stands
//! as the line's allowance; taken off and given back, as its charge.

use super::html::escape;
use crate::billing::bill::Unit;
use crate::billing::invoice::{Invoice, Kind, Party};
use crate::billing::outgoing::Outgoing;
use crate::money::tax::Tax;
use crate::money::totals::{TaxOf, Totals};
use crate::money::{Money, MoneyError, Price, Quantity};

/// An element, or text in one.
enum Node {
    Element { name: &'static str, of: Option<(&'static str, &'static str)>, within: Vec<Node> },
    Text(String),
}

fn holds(name: &'static str, within: Vec<Node>) -> Node {
    Node::Element { name, of: None, within }
}

fn says(name: &'static str, text: impl Into<String>) -> Node {
    holds(name, vec![Node::Text(text.into())])
}

/// Nothing for what was not said: the standard has no empty elements.
fn known(name: &'static str, text: &str) -> Option<Node> {
    (!text.is_empty()).then(|| says(name, text))
}

fn amount(name: &'static str, money: Money) -> Node {
    let of = Some(("currencyID", money.currency().code()));
    Node::Element { name, of, within: vec![Node::Text(money.to_string())] }
}

impl Node {
    fn put(&self, xml: &mut String) {
        match self {
            Node::Text(text) => escape(xml, &text.replace(|c| !may_stand(c), " ")),
            Node::Element { name, of, within } => {
                xml.push_str(&format!("<{name}"));
                if let Some((name, value)) = of {
                    xml.push_str(&format!(" {name}=\"{value}\""));
                }
                xml.push('>');
                within.iter().for_each(|node| node.put(xml));
                xml.push_str(&format!("</{name}>"));
            }
        }
    }
}

/// Tells whether a character may stand in a text: XML 1.0 (fifth edition), section 2.2, has no
/// other control characters than tab and line ends, neither U+FFFE nor U+FFFF, and advises
/// against those after U+007F. A tab means no more here than a blank.
fn may_stand(c: char) -> bool {
    c == '\n' || !c.is_control() && !matches!(c, '\u{FFFE}' | '\u{FFFF}')
}

/// Returns a draft as a file.
///
/// # Errors
/// When an amount is too large.
pub fn written(invoice: &Invoice<'_>) -> Result<Vec<u8>, MoneyError> {
    let name = match invoice.kind {
        Kind::Invoice => "Invoice",
        Kind::CreditNote => "CreditNote",
    };
    let urn = "urn:oasis:names:specification:ubl:schema:xsd";
    let mut xml = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<{name} xmlns=\"{urn}:{name}-2\" \
         xmlns:cac=\"{urn}:CommonAggregateComponents-2\" xmlns:cbc=\"{urn}:CommonBasicComponents-2\">"
    );
    for node in document(invoice)? {
        node.put(&mut xml);
        xml.push('\n');
    }
    xml.push_str(&format!("</{name}>\n"));
    Ok(xml.into_bytes())
}

fn document(invoice: &Invoice<'_>) -> Result<Vec<Node>, MoneyError> {
    let (export, nth) = invoice.number;
    let mut nodes = vec![
        says("cbc:CustomizationID", "urn:cen.eu:en16931:2017"),
        says("cbc:ID", format!("{export}-{nth}")),
        says("cbc:IssueDate", invoice.issued.to_string()),
        match invoice.kind {
            Kind::Invoice => says("cbc:InvoiceTypeCode", "380"),
            Kind::CreditNote => says("cbc:CreditNoteTypeCode", "381"),
        },
        says("cbc:Note", note(invoice)),
        says("cbc:DocumentCurrencyCode", invoice.totals.due.currency().code()),
    ];
    nodes.extend(period(&invoice.lines));
    let is_taxed = invoice.lines.iter().any(|line| line.tax != Tax::Outside);
    nodes.push(holds("cac:AccountingSupplierParty", vec![party(invoice.seller, is_taxed)]));
    nodes.push(holds("cac:AccountingCustomerParty", vec![party(invoice.buyer, is_taxed)]));
    if invoice.lines.iter().any(|line| line.tax == Tax::IntraCommunity) {
        nodes.push(holds(
            "cac:Delivery",
            vec![holds("cac:DeliveryLocation", vec![address("cac:Address", invoice.buyer)])],
        ));
    }
    nodes.push(holds("cac:PaymentTerms", vec![says("cbc:Note", invoice.terms.as_str())]));
    nodes.push(tax_total(&invoice.totals));
    nodes.push(monetary_total(&invoice.totals));
    for (nth, of) in invoice.lines.iter().enumerate() {
        nodes.push(line(invoice.kind, nth + 1, of)?);
    }
    Ok(nodes)
}

/// What the job was, and which exports are corrected.
fn note(invoice: &Invoice<'_>) -> String {
    let corrects = invoice.corrects().into_iter().map(|export| format!("; corrects export {export}"));
    std::iter::once(invoice.about.clone()).chain(corrects).collect()
}

fn period(lines: &[Outgoing]) -> Option<Node> {
    let first = lines.iter().map(|line| line.first).min()?;
    let last = lines.iter().map(|line| line.last).max()?;
    let days = vec![says("cbc:StartDate", first.to_string()), says("cbc:EndDate", last.to_string())];
    Some(holds("cac:InvoicePeriod", days))
}

/// Who sells or buys; nobody's number for value added tax stands where all is outside of it (BR-O-02).
fn party(party: &Party, is_taxed: bool) -> Node {
    let mut of = vec![address("cac:PostalAddress", party)];
    for (number, scheme) in [(&party.vat, "VAT"), (&party.tax, "TAX")] {
        if !number.is_empty() && (is_taxed || scheme != "VAT") {
            let scheme = holds("cac:TaxScheme", vec![says("cbc:ID", scheme)]);
            of.push(holds("cac:PartyTaxScheme", vec![says("cbc:CompanyID", number.as_str()), scheme]));
        }
    }
    let mut entity = vec![says("cbc:RegistrationName", party.name.as_str())];
    entity.extend(known("cbc:CompanyID", party.registered.as_str()));
    of.push(holds("cac:PartyLegalEntity", entity));
    holds("cac:Party", of)
}

fn address(name: &'static str, party: &Party) -> Node {
    let mut of = Vec::new();
    of.extend(known("cbc:StreetName", party.street.as_str()));
    of.extend(known("cbc:CityName", party.town.as_str()));
    of.extend(known("cbc:PostalZone", party.post_code.as_str()));
    of.push(holds("cac:Country", vec![says("cbc:IdentificationCode", party.country.letters())]));
    holds(name, of)
}

fn tax_total(totals: &Totals) -> Node {
    let mut of = vec![amount("cbc:TaxAmount", totals.tax)];
    of.extend(totals.taxes.iter().map(|tax: &TaxOf| {
        let category = category("cac:TaxCategory", &tax.tax, true);
        let sums = vec![amount("cbc:TaxableAmount", tax.taxable), amount("cbc:TaxAmount", tax.amount), category];
        holds("cac:TaxSubtotal", sums)
    }));
    holds("cac:TaxTotal", of)
}

/// The category of a tax; why nothing is charged stands where the whole document is added up.
fn category(name: &'static str, tax: &Tax, with_reason: bool) -> Node {
    let mut of = vec![says("cbc:ID", tax.code())];
    if *tax != Tax::Outside {
        of.push(says("cbc:Percent", tax.rate().to_string()));
    }
    if with_reason {
        of.extend(tax.reason().map(|reason| says("cbc:TaxExemptionReason", reason)));
    }
    of.push(holds("cac:TaxScheme", vec![says("cbc:ID", "VAT")]));
    holds(name, of)
}

fn monetary_total(totals: &Totals) -> Node {
    let of = vec![
        amount("cbc:LineExtensionAmount", totals.lines),
        amount("cbc:TaxExclusiveAmount", totals.without_tax),
        amount("cbc:TaxInclusiveAmount", totals.with_tax),
        amount("cbc:PayableAmount", totals.due),
    ];
    holds("cac:LegalMonetaryTotal", of)
}

fn line(kind: Kind, nth: usize, line: &Outgoing) -> Result<Node, MoneyError> {
    let (name, counted) = match kind {
        Kind::Invoice => ("cac:InvoiceLine", "cbc:InvoicedQuantity"),
        Kind::CreditNote => ("cac:CreditNoteLine", "cbc:CreditedQuantity"),
    };
    let counts = Counted::of(line)?;
    let mut of = vec![says("cbc:ID", nth.to_string())];
    of.extend(counts.note.map(|note| says("cbc:Note", note)));
    let quantity = vec![Node::Text(counts.quantity.to_string())];
    of.push(Node::Element { name: counted, of: Some(("unitCode", code(counts.unit))), within: quantity });
    of.push(amount("cbc:LineExtensionAmount", line.net));
    of.extend(period(std::slice::from_ref(line)));
    of.extend(taken_off(line));
    let words = line.words.or("Work");
    of.push(holds("cac:Item", vec![says("cbc:Name", words), category("cac:ClassifiedTaxCategory", &line.tax, false)]));
    let price = Node::Element {
        name: "cbc:PriceAmount",
        of: Some(("currencyID", line.net.currency().code())),
        within: vec![Node::Text(counts.price.to_string())],
    };
    of.push(holds("cac:Price", vec![price]));
    Ok(holds(name, of))
}

/// How a line is counted so that quantity times price is its amount.
struct Counted {
    quantity: Quantity,
    unit: Unit,
    price: Price,
    note: Option<String>,
}

impl Counted {
    fn of(line: &Outgoing) -> Result<Self, MoneyError> {
        let (quantity, unit, price) = (line.quantity, line.unit, line.price);
        let one = Quantity::whole(1);
        if price.times(quantity, one, line.gross.currency())? == line.gross {
            return Ok(Self { quantity, unit, price, note: None });
        }
        let note = Some(if line.is_of_price_alone() {
            format!("as much as before, now at {price}")
        } else {
            format!("{} at {price}", unit.counted(quantity))
        });
        let (quantity, amount) = if line.gross.is_negative() {
            (Quantity::NONE.minus(one)?, line.gross.negated())
        } else {
            (one, line.gross)
        };
        Ok(Self { quantity, unit: Unit::Each, price: Price::of(amount)?, note })
    }
}

/// UN/ECE recommendation 20: hour, one.
const fn code(unit: Unit) -> &'static str {
    match unit {
        Unit::Hour => "HUR",
        Unit::Each => "C62",
    }
}

fn taken_off(line: &Outgoing) -> Option<Node> {
    let charged = line.discount.is_negative();
    let (amount_of, reason) =
        if charged { (line.discount.negated(), "Discount taken back") } else { (line.discount, "Discount") };
    let of = vec![
        says("cbc:ChargeIndicator", charged.to_string()),
        says("cbc:AllowanceChargeReason", reason),
        amount("cbc:Amount", amount_of),
    ];
    (!line.discount.is_zero()).then(|| holds("cac:AllowanceCharge", of))
}

#[cfg(test)]
mod tests;
