//! A draft of an invoice as a page, for whoever checks it before it goes out.
//!
//! It says what the XML beside it says ([`crate::exchange::ubl`]), and that it is
//! a draft: nobody should pay by it.

use super::{Page, full_day};
use crate::billing::invoice::{Invoice, Kind, Party};
use crate::billing::outgoing::Outgoing;
use crate::exchange::pieces::Piece;
use crate::exchange::plain::joined;
use crate::money::Money;
use crate::money::totals::Totals;

/// Returns the page of a draft.
pub fn page(invoice: &Invoice<'_>) -> Vec<Piece> {
    let what = match invoice.kind {
        Kind::Invoice => "Draft of an invoice",
        Kind::CreditNote => "Draft of a credit note",
    };
    let (export, nth) = invoice.number;
    let mut page = Page::begin(&format!("{what} {export}-{nth}"));
    page.body();
    page.raw("<header>");
    page.class("p", "label", &format!("{what} {export}-{nth}: not to be paid by"));
    page.tag("h1", invoice.seller.name.as_str());
    page.class("p", "lead", &invoice.about);
    page.raw("</header><dl>");
    page.fact("For", &party_words(invoice.buyer));
    page.fact("From", &party_words(invoice.seller));
    page.fact("Date", &full_day(invoice.issued));
    page.fact("To be paid", invoice.terms.as_str());
    let corrects: Vec<String> = invoice.corrects().iter().map(u32::to_string).collect();
    if !corrects.is_empty() {
        page.fact("Corrects export", &corrects.join(", "));
    }
    page.raw("</dl>");
    lines(&mut page, &invoice.lines);
    taxes(&mut page, &invoice.totals);
    page.raw("<dl class=\"sums\">");
    let due = match invoice.kind {
        Kind::Invoice => "Due",
        Kind::CreditNote => "Paid back",
    };
    page.fact("Without tax", &invoice.totals.without_tax.to_string());
    page.fact("Tax", &invoice.totals.tax.to_string());
    page.fact(due, &format!("{} {}", invoice.totals.due, invoice.totals.due.currency().code()));
    page.raw("</dl>");
    page.end()
}

fn party_words(party: &Party) -> String {
    let town = joined(&[party.post_code.as_str(), party.town.as_str()], " ");
    let numbers = joined(&[party.vat.as_str(), party.tax.as_str(), party.registered.as_str()], ", ");
    joined(&[party.name.as_str(), party.street.as_str(), &town, &party.country.letters(), &numbers], ", ")
}

fn row(page: &mut Page, cells: [&str; 4]) {
    page.raw("<tr>");
    for cell in cells {
        page.tag("td", cell);
    }
    page.raw("</tr>");
}

fn lines(page: &mut Page, lines: &[Outgoing]) {
    page.raw("<section>");
    page.tag("h2", "Lines");
    page.raw("<table><tr><th>What</th><th>How much</th><th>Each</th><th>Amount</th></tr>");
    for line in lines {
        row(page, [line.words.or("Work"), &line.how_much(), &line.each(), &line.gross.to_string()]);
        if !line.discount.is_zero() {
            row(page, ["less discount", "-", "-", &line.discount.negated().to_string()]);
        }
    }
    page.raw("</table></section>");
}

fn taxes(page: &mut Page, totals: &Totals) {
    page.raw("<section>");
    page.tag("h2", "Tax");
    page.raw("<table><tr><th>Category</th><th>Rate</th><th>On</th><th>Tax</th></tr>");
    for of in &totals.taxes {
        let [on, tax]: [String; 2] = [of.taxable, of.amount].map(|amount: Money| amount.to_string());
        let category = joined(&[of.tax.code(), of.tax.reason().unwrap_or_default()], ": ");
        row(page, [&category, &format!("{} %", of.tax.rate()), &on, &tax]);
    }
    page.raw("</table></section>");
}
