//! The position that a camera wrote into a picture, when the technician asks to keep it.
//!
//! Read from the Exif attributes of the file's beginning (Exif 2.32, GPS IFD:
//! tags 1 to 4, degrees, minutes and seconds as rationals). Nothing else of a
//! picture's attributes is read; what is kept of a picture is drawn anew and has
//! none.

use std::io::Cursor;

use exif::{Exif, In, Reader, Tag, Value};

use crate::event::Position;

/// How much of a file's beginning holds its attributes, in bytes.
pub const WITHIN: i32 = 256 * 1024;

/// Returns the position in the beginning of a picture's file, if it has one.
pub fn position(head: &[u8]) -> Option<Position> {
    let attributes = Reader::new().read_from_container(&mut Cursor::new(head)).ok()?;
    let north = degrees_e7(&attributes, Tag::GPSLatitude, Tag::GPSLatitudeRef, b'S', 90)?;
    let east = degrees_e7(&attributes, Tag::GPSLongitude, Tag::GPSLongitudeRef, b'W', 180)?;
    Some(Position { lat_e7: north, lon_e7: east })
}

/// Returns an angle in ten-millionths of a degree, negative for the `negative` reference.
fn degrees_e7(attributes: &Exif, angle: Tag, reference: Tag, negative: u8, most: i64) -> Option<i32> {
    let Value::Rational(parts) = &attributes.get_field(angle, In::PRIMARY)?.value else { return None };
    let Value::Ascii(letters) = &attributes.get_field(reference, In::PRIMARY)?.value else { return None };
    let mut sum: i64 = 0;
    // Degrees, minutes and seconds weigh 1, 1/60 and 1/3600 of a degree.
    for (part, weight) in parts.iter().zip([10_000_000_i64 * 3_600, 10_000_000 * 60, 10_000_000]) {
        if part.denom == 0 {
            return None;
        }
        sum += i64::from(part.num) * weight / i64::from(part.denom);
    }
    let angle = (sum + 1_800) / 3_600;
    if parts.len() < 3 || angle > most * 10_000_000 {
        return None;
    }
    let is_negative = letters.first()?.first() == Some(&negative);
    i32::try_from(if is_negative { -angle } else { angle }).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Writes a JPEG's beginning with nothing but a GPS IFD, little-endian TIFF.
    fn jpeg(lat: ([(u32, u32); 3], u8), lon: ([(u32, u32); 3], u8)) -> Vec<u8> {
        let mut tiff = b"II*\0\x08\0\0\0".to_vec();
        let entry = |tag: u16, kind: u16, count: u32, value: u32| {
            [&tag.to_le_bytes()[..], &kind.to_le_bytes(), &count.to_le_bytes(), &value.to_le_bytes()].concat()
        };
        // IFD 0 at 8 points to the GPS IFD at 26; its rationals follow at 80 and 104.
        tiff.extend(1_u16.to_le_bytes());
        tiff.extend(entry(0x8825, 4, 1, 26));
        tiff.extend([0; 4]);
        tiff.extend(4_u16.to_le_bytes());
        tiff.extend(entry(1, 2, 2, u32::from(lat.1)));
        tiff.extend(entry(2, 5, 3, 80));
        tiff.extend(entry(3, 2, 2, u32::from(lon.1)));
        tiff.extend(entry(4, 5, 3, 104));
        tiff.extend([0; 4]);
        for (num, denom) in lat.0.into_iter().chain(lon.0) {
            tiff.extend(num.to_le_bytes());
            tiff.extend(denom.to_le_bytes());
        }
        let length = (tiff.len() + 8) as u16;
        [b"\xff\xd8\xff\xe1", &length.to_be_bytes()[..], b"Exif\0\0", &tiff, b"\xff\xd9"].concat()
    }

    #[test]
    fn reads_degrees_minutes_seconds_of_all_quarters() {
        let north = [(51, 1), (30, 1), (3_600, 100)];
        let east = [(0, 1), (7, 1), (30, 1)];
        let read = |lat, lon| position(&jpeg((north, lat), (east, lon))).map(|p| (p.lat_e7, p.lon_e7));
        // 51°30'36" = 51.51°; 0°7'30" = 0.125°.
        assert_eq!(read(b'N', b'E'), Some((515_100_000, 1_250_000)));
        assert_eq!(read(b'S', b'W'), Some((-515_100_000, -1_250_000)));
    }

    #[test]
    fn takes_nothing_from_what_makes_no_sense() {
        let wrong = [(51, 0), (0, 1), (0, 1)];
        let right = [(0, 1), (7, 1), (30, 1)];
        assert_eq!(position(&jpeg((wrong, b'N'), (right, b'E'))), None);
        let beyond = [(91, 1), (0, 1), (0, 1)];
        assert_eq!(position(&jpeg((beyond, b'N'), (right, b'E'))), None);
        for bytes in [&b""[..], b"\xff\xd8\xff\xd9", b"no picture"] {
            assert_eq!(position(bytes), None);
        }
        let whole = jpeg((right, b'N'), (right, b'E'));
        for cut in 0..whole.len() {
            let _ = position(&whole[..cut]);
        }
    }
}
