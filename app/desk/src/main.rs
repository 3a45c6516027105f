//! Opens the door of the office's worker.

fn main() {
    quaywright_desk::door::open();
}
