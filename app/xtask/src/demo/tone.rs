//! The demo's voice note: a tone instead of a voice, made by the project itself.
//!
//! WAVE with 8-bit samples at 8,000 a second, one channel (RIFF, as in "Multimedia Programming
//! Interface and Data Specifications 1.0", 1991): a head of 44 bytes, then the samples, 128 being
//! silence. Three notes that rise, so that whoever plays it hears that it plays.

const RATE: u32 = 8_000;

/// Returns a tone of so many seconds.
pub(super) fn wave(seconds: u32) -> Vec<u8> {
    let count = seconds * RATE;
    let mut file = Vec::with_capacity(44 + count as usize);
    file.extend_from_slice(b"RIFF");
    file.extend_from_slice(&(36 + count).to_le_bytes());
    file.extend_from_slice(b"WAVEfmt ");
    file.extend_from_slice(&16_u32.to_le_bytes());
    // PCM, one channel, samples and bytes a second, bytes and bits a sample.
    file.extend_from_slice(&[1, 0, 1, 0]);
    file.extend_from_slice(&RATE.to_le_bytes());
    file.extend_from_slice(&RATE.to_le_bytes());
    file.extend_from_slice(&[1, 0, 8, 0]);
    file.extend_from_slice(b"data");
    file.extend_from_slice(&count.to_le_bytes());
    file.extend((0..count).map(|at| sample(at, count)));
    file
}

/// A triangle wave of 200, 250 or 320 swings a second, that fades in each third.
fn sample(at: u32, count: u32) -> u8 {
    let third = (count / 3).max(1);
    let period = [40, 32, 25][(at / third).min(2) as usize];
    let (within, loud) = (at % period, 60 - 60 * (at % third) / third);
    let swing = (4 * within).abs_diff(2 * period) * loud / period;
    u8::try_from(128 + swing - loud).unwrap_or(128)
}
