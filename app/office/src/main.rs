//! The office's command.

fn main() {}
