//! Starts the pocket workbook.

fn main() {}
