//! Amounts as they are typed, tax by a published rule, and lines that are kept as a draft.

use super::*;

fn line(kind: usize, size: &str, amount: &str, before: &[CostLine]) -> Result<(u64, String), NotAgreed> {
    let entry = LineEntry { kind, words: String::new(), size: size.into(), amount: amount.into() };
    entry.read(Currency::Usd, before).map(|line| (line.amount.units(), line.words.to_string()))
}

#[test]
fn amounts_are_typed_as_they_are_or_as_rates() {
    for (kind, size, amount, units) in [
        (0, "2:30", "250", 25_000),
        (0, "2.5", "95/h", 23_750),
        (0, "0:07", "95/h", 1_108),
        (0, "", "80", 8_000),
        (1, "4", "12.50 each", 5_000),
        (1, "", "12,50", 1_250),
        (2, "", "5", 500),
        (4, "", "3.40", 340),
    ] {
        assert_eq!(line(kind, size, amount, &[]).map(|it| it.0), Ok(units), "{amount}");
    }
    assert_eq!(line(0, "", "95/h", &[]), Err(NotAgreed::NoHours));
    assert_eq!(line(0, "two", "95", &[]), Err(NotAgreed::Hours));
    assert_eq!(line(1, "0", "95", &[]), Err(NotAgreed::Count));
    assert_eq!(line(3, "", "", &[]), Err(NotAgreed::Amount(NoAmount::NotANumber)));
}

#[test]
fn tax_goes_half_up_as_in_the_streamlined_sales_tax_agreement_section_324() {
    let of = |units| [CostLine { cost: Cost::Other, words: Label::default(), amount: Minor::fixed(units) }];
    for (units, percent, tax) in [(100, "6.5%", 7), (250, "7 %", 18), (50, "25 %", 13), (1_250, "7,4 %", 93)] {
        assert_eq!(line(4, "", percent, &of(units)).map(|it| it.0), Ok(tax), "{units} {percent}");
    }
    assert_eq!(line(4, "", "6.5 %", &of(100)).unwrap().1, "6.5 % of 1.00");
    for wrong in ["%", "100 %", "7.12345 %", "-1 %", "x %"] {
        assert_eq!(line(4, "", wrong, &of(100)), Err(NotAgreed::Percent), "{wrong}");
    }
}

#[test]
fn half_made_lines_are_kept_as_a_draft() {
    let labour = LineEntry { kind: 0, words: "strip\tand test".into(), size: "2:30".into(), amount: "95/h".into() };
    let parts = LineEntry { kind: 1, words: "seal".into(), size: "2".into(), amount: "9.20 each".into() };
    let lines = [labour, parts].map(|entry| entry.read(Currency::Eur, &[]).unwrap());
    assert_eq!(lines_of_draft(&draft_of_lines(&lines, Currency::Eur), Currency::Eur), lines);
    assert_eq!(lines_of_draft("9\tx\n\n0\t\tno\tx", Currency::Eur), []);
}
