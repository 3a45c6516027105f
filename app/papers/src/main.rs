//! Opens the door of the papers' worker.

fn main() {
    quaywright_papers::door::open();
}
