//! Room that is held for what is written: text goes first when the phone is full.
//!
//! Beside the packs lies a value that means nothing. When a record finds no room,
//! that value is dropped and the record takes its place: a million bytes are two
//! thousand records, enough for weeks. Until the reserve can be held again no
//! photo is taken, so that photos do not eat what is left for words.

/// How many bytes are held.
pub const SIZE: usize = 1 << 20;

/// Returns bytes that no browser makes smaller on its disk.
///
/// Rule: Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8 (2003), section 3.
pub fn bytes() -> Vec<u8> {
    let mut state = 88_172_645_463_325_252_u64;
    let mut bytes = Vec::with_capacity(SIZE);
    while bytes.len() < SIZE {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        bytes.extend_from_slice(&state.to_le_bytes());
    }
    bytes
}
