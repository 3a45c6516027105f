//! What was acknowledged is kept, whatever dies, breaks, fills up or is taken away.
//!
//! Each file here is one kind of misfortune. They all end in the same question:
//! does the phone still hold what its screen had said is kept, once and in
//! order, and did it say in words what it could not hold?

mod damaged;
mod evicted;
mod failing;
mod killed;
mod newer;
mod offline;
mod packs;
