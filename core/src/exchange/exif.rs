//! The position that a camera wrote into a picture, when the technician asks to keep it.
//!
//! Read from the Exif attributes in the file's beginning (Exif 2.32, GPS IFD:
//! tags 1 to 4, degrees, minutes and seconds as rationals). They are a TIFF
//! structure behind the letters `Exif`, whatever the kind of file around it.
//! Nothing else of a picture's attributes is read; what is kept of a picture is
//! drawn anew and has none. The four fields are read here and not by a library,
//! because the names of all the others would be a tenth of what a phone loads;
//! the tests hold a library against it.

use crate::event::Position;

/// How much of a file's beginning holds its attributes, in bytes.
pub const WITHIN: i32 = 256 * 1024;

/// What stands before the attributes.
const MARK: &[u8] = b"Exif\0\0";

const GPS_IFD: u16 = 0x8825;
const LATITUDE_REF: u16 = 1;
const LATITUDE: u16 = 2;
const LONGITUDE_REF: u16 = 3;
const LONGITUDE: u16 = 4;

const ASCII: u16 = 2;
const LONG: u16 = 4;
const RATIONAL: u16 = 5;

/// Returns the position in the beginning of a picture's file, if it has one.
pub fn position(head: &[u8]) -> Option<Position> {
    let mut marks = head.windows(MARK.len()).enumerate().filter(|&(_, window)| window == MARK);
    let tiff = marks.find_map(|(at, _)| Tiff::read(head.get(at + MARK.len()..)?))?;
    let gps = tiff.u32(tiff.field(tiff.u32(4)?, GPS_IFD, LONG, 1)?)?;
    let north = tiff.degrees_e7(gps, LATITUDE, 90.0)?;
    let east = tiff.degrees_e7(gps, LONGITUDE, 180.0)?;
    let is_south = tiff.letter(gps, LATITUDE_REF)? == b'S';
    let is_west = tiff.letter(gps, LONGITUDE_REF)? == b'W';
    Some(Position { lat_e7: if is_south { -north } else { north }, lon_e7: if is_west { -east } else { east } })
}

/// A TIFF structure (TIFF 6.0, section 2); every offset counts from its beginning,
/// and one beyond its end reads nothing.
struct Tiff<'a> {
    bytes: &'a [u8],
    big_endian: bool,
}

impl<'a> Tiff<'a> {
    fn read(bytes: &'a [u8]) -> Option<Self> {
        let big_endian = match bytes.get(..4)? {
            b"II*\0" => false,
            b"MM\0*" => true,
            _ => return None,
        };
        Some(Self { bytes, big_endian })
    }

    /// Returns where the value of a directory's field lies, if it is of that
    /// kind and of at least so many parts.
    fn field(&self, directory: u32, tag: u16, kind: u16, least: u32) -> Option<u32> {
        let mut fields = (0..u32::from(self.u16(directory)?)).map(|number| directory.saturating_add(2 + number * 12));
        let field = fields.find(|&field| self.u16(field) == Some(tag))?;
        let count = self.u32(field.saturating_add(4))?;
        if self.u16(field.saturating_add(2))? != kind || count < least {
            return None;
        }
        // What takes no more than four bytes stands in the field itself.
        let size = match kind {
            RATIONAL => 8,
            LONG => 4,
            _ => 1,
        };
        let value = field.saturating_add(8);
        if count.saturating_mul(size) <= 4 { Some(value) } else { self.u32(value) }
    }

    /// Returns an angle in ten-millionths of a degree.
    fn degrees_e7(&self, directory: u32, tag: u16, most: f64) -> Option<i32> {
        let first = self.field(directory, tag, RATIONAL, 3)?;
        let part = |at: u32| Some(f64::from(self.u32(at)?) / f64::from(self.u32(at.saturating_add(4))?));
        let (minutes, seconds) = (part(first.saturating_add(8))?, part(first.saturating_add(16))?);
        let degrees = part(first)? + minutes / 60.0 + seconds / 3_600.0;
        // A fraction of nothing is no number, and so not within the circle.
        (0.0..=most).contains(&degrees).then_some((degrees * 1e7 + 0.5) as i32)
    }

    fn letter(&self, directory: u32, tag: u16) -> Option<u8> {
        let at = self.field(directory, tag, ASCII, 1)?;
        self.bytes.get(at as usize).copied()
    }

    fn u16(&self, at: u32) -> Option<u16> {
        let bytes = *self.bytes.get(at as usize..)?.first_chunk()?;
        Some(if self.big_endian { u16::from_be_bytes(bytes) } else { u16::from_le_bytes(bytes) })
    }

    fn u32(&self, at: u32) -> Option<u32> {
        let bytes = *self.bytes.get(at as usize..)?.first_chunk()?;
        Some(if self.big_endian { u32::from_be_bytes(bytes) } else { u32::from_le_bytes(bytes) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Three rationals and the letter of the quarter.
    type Angle = ([(u32, u32); 3], u8);

    /// Writes a JPEG's beginning with nothing but a GPS IFD, little-endian TIFF.
    fn jpeg(lat: Angle, lon: Angle) -> Vec<u8> {
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
    /// Writes the same in the other order of bytes, as most telephones do.
    fn big_endian(lat: Angle, lon: Angle) -> Vec<u8> {
        let mut tiff = b"MM\0*\0\0\0\x08".to_vec();
        let entry = |tag: u16, kind: u16, count: u32, value: [u8; 4]| {
            [&tag.to_be_bytes()[..], &kind.to_be_bytes(), &count.to_be_bytes(), &value].concat()
        };
        tiff.extend(2_u16.to_be_bytes());
        // A maker's name before the directory that is looked for.
        tiff.extend(entry(0x010f, 2, 4, *b"Cam\0"));
        tiff.extend(entry(0x8825, 4, 1, 38_u32.to_be_bytes()));
        tiff.extend([0; 4]);
        tiff.extend(4_u16.to_be_bytes());
        tiff.extend(entry(1, 2, 2, [lat.1, 0, 0, 0]));
        tiff.extend(entry(2, 5, 3, 92_u32.to_be_bytes()));
        tiff.extend(entry(3, 2, 2, [lon.1, 0, 0, 0]));
        tiff.extend(entry(4, 5, 3, 116_u32.to_be_bytes()));
        tiff.extend([0; 4]);
        for (num, denom) in lat.0.into_iter().chain(lon.0) {
            tiff.extend(num.to_be_bytes());
            tiff.extend(denom.to_be_bytes());
        }
        let length = (tiff.len() + 8) as u16;
        [b"\xff\xd8\xff\xe1", &length.to_be_bytes()[..], b"Exif\0\0", &tiff, b"\xff\xd9"].concat()
    }

    /// Reads a position with a library, as the independent judge.
    fn judged(head: &[u8]) -> Option<Position> {
        use exif::{Exif, In, Tag, Value};
        fn angle(attributes: &Exif, angle: Tag, reference: Tag, negative: u8, most: f64) -> Option<i32> {
            let Value::Rational(parts) = &attributes.get_field(angle, In::PRIMARY)?.value else { return None };
            let Value::Ascii(letters) = &attributes.get_field(reference, In::PRIMARY)?.value else { return None };
            let [degrees, minutes, seconds] = parts.get(..3)?.try_into().ok()?;
            let angle: f64 = degrees.to_f64() + minutes.to_f64() / 60.0 + seconds.to_f64() / 3_600.0;
            let sign = if letters.first()?.first() == Some(&negative) { -1.0 } else { 1.0 };
            (angle <= most).then_some((sign * angle * 1e7).round() as i32)
        }
        let attributes = exif::Reader::new().read_from_container(&mut std::io::Cursor::new(head)).ok()?;
        let lat_e7 = angle(&attributes, Tag::GPSLatitude, Tag::GPSLatitudeRef, b'S', 90.0)?;
        let lon_e7 = angle(&attributes, Tag::GPSLongitude, Tag::GPSLongitudeRef, b'W', 180.0)?;
        Some(Position { lat_e7, lon_e7 })
    }

    /// Whether two answers name one place, but for the last digit's rounding.
    fn agree(ours: Option<Position>, theirs: Option<Position>) -> bool {
        match (ours, theirs) {
            (Some(a), Some(b)) => a.lat_e7.abs_diff(b.lat_e7) <= 1 && a.lon_e7.abs_diff(b.lon_e7) <= 1,
            (ours, theirs) => ours == theirs,
        }
    }

    fn angle(degrees: u32, letters: &'static [u8]) -> impl Strategy<Value = Angle> {
        let scale = prop::sample::select(vec![1_u32, 100, 1_000_000]);
        let parts = (0..=degrees, 0..60_u32, 0..60_u32, scale);
        let parts = parts.prop_map(|(d, m, s, scale)| [(d, 1), (m, 1), (s * scale + scale / 3, scale)]);
        (parts, prop::sample::select(letters))
    }

    proptest! {
        #[test]
        fn reads_what_a_library_reads(lat in angle(89, b"NS"), lon in angle(179, b"EW")) {
            for file in [jpeg(lat, lon), big_endian(lat, lon)] {
                let (ours, theirs) = (position(&file), judged(&file));
                prop_assert!(ours.is_some() && agree(ours, theirs), "{ours:?} {theirs:?}");
            }
        }

        #[test]
        fn reads_a_damaged_picture_or_nothing(at in any::<prop::sample::Index>(), byte in any::<u8>(), cut in any::<prop::sample::Index>()) {
            let angle = [(51, 1), (30, 1), (3_600, 100)];
            for mut file in [jpeg((angle, b'S'), (angle, b'E')), big_endian((angle, b'N'), (angle, b'W'))] {
                let at = at.index(file.len());
                file[at] = byte;
                let _ = position(&file[..cut.index(file.len())]);
                // A library refuses a file with any wrong field, and takes a pointer of two other
                // types for one; so either may know more, but never something else.
                let (ours, theirs) = (position(&file), judged(&file));
                prop_assert!(ours.is_none() || theirs.is_none() || agree(ours, theirs), "{ours:?} {theirs:?}");
            }
        }

        #[test]
        fn any_bytes_are_read(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
            let _ = position(&[b"Exif\0\0MM\0*", &bytes[..]].concat());
            let _ = position(&bytes);
        }
    }
}
