//! As much work with text and lists as `readings`, and no kind of reading: see `cargo xtask bench`.

use std::hint::black_box;

fn main() {
    let name = black_box("battery-at-rest");
    let words: Vec<String> = name.split('-').map(str::to_owned).collect();
    let told: Vec<String> = words.iter().map(|word| format!("{word}: {}", black_box(12_i64))).collect();
    black_box((words, told.concat()));
}
