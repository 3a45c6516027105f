//! A sheet of paper, and how ink, tone and shadow come onto it.
//!
//! Everything is drawn as the workbook looks: ink on paper, few colours, soft
//! light from the upper left. The rest of this folder says what to draw; only
//! this module knows how pixels are made and packed as a JPEG.

use jpeg_encoder::{ColorType, Encoder};
use tiny_skia::{
    Color, FillRule, FilterQuality, GradientStop, LineCap, LineJoin, LinearGradient, Mask, Paint, Pixmap, PixmapPaint,
    Point, RadialGradient, Shader, SpreadMode, Stroke, Transform,
};

use super::shape::{At, Shape, moved};
use crate::demo::chance::Chance;

/// Pixels across.
pub(super) const WIDTH: u16 = 1200;
/// Pixels down.
pub(super) const HEIGHT: u16 = 900;
/// Shadows are blurred on a sheet so many times smaller.
const SHRUNK: f32 = 6.0;
/// Keeps lines of ink clean and each photo well below 120 kB.
const QUALITY: u8 = 70;

/// A colour: red, green, blue.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Tone(pub(super) f32, pub(super) f32, pub(super) f32);

pub(super) const PAPER: Tone = Tone(240.0, 234.0, 219.0);
pub(super) const INK: Tone = Tone(24.0, 28.0, 30.0);
pub(super) const WHITE: Tone = Tone(252.0, 250.0, 244.0);
pub(super) const STEEL: Tone = Tone(164.0, 168.0, 166.0);
pub(super) const RUBBER: Tone = Tone(60.0, 62.0, 62.0);
pub(super) const BRASS: Tone = Tone(190.0, 152.0, 84.0);
pub(super) const BRONZE: Tone = Tone(158.0, 124.0, 78.0);
pub(super) const RUST: Tone = Tone(142.0, 78.0, 48.0);
pub(super) const RED: Tone = Tone(150.0, 46.0, 36.0);
pub(super) const GREEN: Tone = Tone(84.0, 112.0, 92.0);
pub(super) const WATER: Tone = Tone(128.0, 152.0, 154.0);
pub(super) const WOOD: Tone = Tone(202.0, 176.0, 138.0);

impl Tone {
    /// Returns the tone on the way to another, 0 being this and 1 the other.
    pub(super) fn toward(self, other: Tone, way: f32) -> Tone {
        let mix = |a: f32, b: f32| a + (b - a) * way;
        Tone(mix(self.0, other.0), mix(self.1, other.1), mix(self.2, other.2))
    }

    /// Returns the tone in shadow.
    pub(super) fn dark(self) -> Tone {
        self.toward(INK, 0.55)
    }

    /// Returns the tone in light.
    pub(super) fn light(self) -> Tone {
        self.toward(WHITE, 0.55)
    }

    fn color(self, cover: f32) -> Color {
        let part = |value: f32| (value / 255.0).clamp(0.0, 1.0);
        let (red, green, blue) = (part(self.0), part(self.1), part(self.2));
        Color::from_rgba(red, green, blue, cover.clamp(0.0, 1.0)).unwrap_or(Color::BLACK)
    }
}

/// A sheet being drawn on.
pub(super) struct Sheet {
    pixels: Pixmap,
    chance: Chance,
}

impl Sheet {
    /// Returns a sheet of one tone; `seed` decides its grain. None when there is
    /// no memory for it.
    pub(super) fn new(ground: Tone, seed: u64) -> Option<Self> {
        let mut pixels = Pixmap::new(u32::from(WIDTH), u32::from(HEIGHT))?;
        pixels.fill(ground.color(1.0));
        Some(Self { pixels, chance: Chance::of(seed) })
    }

    /// Returns a number from -`most` to `most`, so that nothing is as straight as with a ruler.
    pub(super) fn sway(&mut self, most: f32) -> f32 {
        self.chance.sway() * most
    }

    /// Fills with one tone.
    pub(super) fn fill(&mut self, shape: &Shape, tone: Tone) {
        self.veil(shape, tone, 1.0);
    }

    /// Fills with one tone that what lies below shines through; `cover` 1 hides it.
    pub(super) fn veil(&mut self, shape: &Shape, tone: Tone, cover: f32) {
        self.paint(shape, Shader::SolidColor(tone.color(cover)));
    }

    /// Fills with tones from one point to another, evenly spread.
    pub(super) fn shade(&mut self, shape: &Shape, from: At, to: At, tones: &[Tone]) {
        let stops = tones
            .iter()
            .enumerate()
            .map(|(nth, tone)| GradientStop::new(nth as f32 / (tones.len().max(2) - 1) as f32, tone.color(1.0)));
        let (from, to) = (Point::from_xy(from.0, from.1), Point::from_xy(to.0, to.1));
        let gradient = LinearGradient::new(from, to, stops.collect(), SpreadMode::Pad, Transform::identity());
        gradient.into_iter().for_each(|shader| self.paint(shape, shader));
    }

    /// Fills as something round is lit whose edges lie at `from` and `to`.
    pub(super) fn round(&mut self, shape: &Shape, from: At, to: At, tone: Tone) {
        let soft = tone.toward(WHITE, 0.2);
        self.shade(shape, from, to, &[tone.dark(), soft, tone.light(), soft, tone, tone.dark(), tone.dark()]);
    }

    /// Fills with a light in the middle that fades to `edge`.
    pub(super) fn dome(&mut self, shape: &Shape, middle: At, radius: f32, light: Tone, edge: Tone) {
        let stops = vec![GradientStop::new(0.0, light.color(1.0)), GradientStop::new(1.0, edge.color(1.0))];
        let middle = Point::from_xy(middle.0, middle.1);
        let gradient = RadialGradient::new(middle, 0.0, middle, radius, stops, SpreadMode::Pad, Transform::identity());
        gradient.into_iter().for_each(|shader| self.paint(shape, shader));
    }

    /// Draws a line of one tone along an outline.
    pub(super) fn stroke(&mut self, shape: &Shape, tone: Tone, width: f32) {
        self.trace(shape, tone.color(1.0), width);
    }

    /// Draws a line that what lies below shines through.
    pub(super) fn faint(&mut self, shape: &Shape, tone: Tone, width: f32, cover: f32) {
        self.trace(shape, tone.color(cover), width);
    }

    /// Draws an outline in ink: once firmly, once lightly beside it, as a hand does.
    pub(super) fn ink(&mut self, shape: &Shape, width: f32) {
        let beside = (self.sway(1.6), self.sway(1.6));
        self.trace(&moved(shape.clone(), beside), INK.color(0.3), width * 0.5);
        self.trace(shape, INK.color(0.94), width);
    }

    /// Fills with one tone and draws the outline in ink.
    pub(super) fn solid(&mut self, shape: &Shape, tone: Tone, width: f32) {
        self.fill(shape, tone);
        self.ink(shape, width);
    }

    /// Draws a bent tube of some width, lit from above.
    pub(super) fn tube(&mut self, middle: &Shape, width: f32, tone: Tone) {
        let rings = (width / 6.0).clamp(7.0, 24.0) as u8;
        self.cut(middle, INK.color(1.0), width + 8.0);
        for ring in 0..rings {
            let way = f32::from(ring) / f32::from(rings);
            let lit = moved(middle.clone(), (-way * width * 0.06, -way * width * 0.2));
            let tone = tone.dark().toward(tone.light(), way * way);
            self.cut(&lit, tone.color(1.0), width * (1.0 - way * 0.92));
        }
    }

    /// Draws parallel lines inside an outline, `apart` pixels apart, in degrees clockwise from level.
    pub(super) fn hatch(&mut self, shape: &Shape, apart: f32, degrees: f32, cover: f32) {
        let Some(path) = shape else { return };
        let Some(mut inside) = Mask::new(u32::from(WIDTH), u32::from(HEIGHT)) else { return };
        inside.fill_path(path, FillRule::EvenOdd, true, Transform::identity());
        let bounds = path.bounds();
        let middle = ((bounds.left() + bounds.right()) / 2.0, (bounds.top() + bounds.bottom()) / 2.0);
        let reach = bounds.width().hypot(bounds.height()) / 2.0;
        let paint = painted(Shader::SolidColor(INK.color(cover)));
        let lines = (reach / apart) as i32;
        for nth in -lines..=lines {
            let y = middle.1 + nth as f32 * apart + self.sway(apart * 0.2);
            let line = super::shape::line(&[(middle.0 - reach, y), (middle.0 + reach, y)]);
            let Some(line) = super::shape::turned(line, middle, degrees) else { continue };
            self.pixels.stroke_path(&line, &paint, &pen(1.6), Transform::identity(), Some(&inside));
        }
    }

    /// Lays the soft shadow of an outline, `right` and `down` of it.
    pub(super) fn cast(&mut self, shape: &Shape, (right, down): At, soft: f32) {
        let Some(path) = shape else { return };
        let bounds = path.bounds();
        let (left, top) = (bounds.left() + right - 2.0 * soft, bounds.top() + down - 2.0 * soft);
        let small = |pixels: f32| ((pixels + 4.0 * soft) / SHRUNK).ceil() as u32;
        let (width, height) = (small(bounds.width()), small(bounds.height()));
        let (Some(mut mask), Some(mut shadow)) = (Mask::new(width, height), Pixmap::new(width, height)) else { return };
        let shrink = Transform::from_scale(1.0 / SHRUNK, 1.0 / SHRUNK).pre_translate(right - left, down - top);
        mask.fill_path(path, FillRule::EvenOdd, true, shrink);
        let radius = (soft / SHRUNK / 2.0).max(1.0) as usize;
        (0..3).for_each(|_| blur(mask.data_mut(), width as usize, radius));
        for (pixel, &cover) in shadow.pixels_mut().iter_mut().zip(mask.data()) {
            *pixel = INK.color(f32::from(cover) / 255.0 * 0.5).premultiply().to_color_u8();
        }
        let enlarge = Transform::from_translate(left, top).pre_scale(SHRUNK, SHRUNK);
        let paint = PixmapPaint { quality: FilterQuality::Bilinear, ..PixmapPaint::default() };
        self.pixels.draw_pixmap(0, 0, shadow.as_ref(), &paint, enlarge, None);
    }

    /// Returns the sheet as a JPEG, with the grain of paper and the dim corners of a lens.
    pub(super) fn jpeg(mut self) -> Option<Vec<u8>> {
        let (width, height) = (usize::from(WIDTH), usize::from(HEIGHT));
        let mut rgb = Vec::with_capacity(width * height * 3);
        let mut grain = 0.0;
        for (nth, pixel) in self.pixels.pixels().iter().enumerate() {
            let (x, y) = ((nth % width) as f32 / width as f32 - 0.5, (nth / width) as f32 / height as f32 - 0.5);
            let dim = 1.03 - 0.34 * (x * x + y * y);
            // Grain of single pixels would only fill the file.
            grain = grain * 0.6 + self.chance.sway() * 0.6;
            let seen = |value: u8| (f32::from(value) * dim + grain).clamp(0.0, 255.0) as u8;
            rgb.extend([pixel.red(), pixel.green(), pixel.blue()].map(seen));
        }
        let mut jpeg = Vec::new();
        let mut encoder = Encoder::new(&mut jpeg, QUALITY);
        encoder.set_progressive(true);
        encoder.set_optimized_huffman_tables(true);
        encoder.encode(&rgb, WIDTH, HEIGHT, ColorType::Rgb).ok()?;
        Some(jpeg)
    }

    fn paint(&mut self, shape: &Shape, shader: Shader<'_>) {
        let Some(path) = shape else { return };
        self.pixels.fill_path(path, &painted(shader), FillRule::EvenOdd, Transform::identity(), None);
    }

    fn trace(&mut self, shape: &Shape, color: Color, width: f32) {
        self.draw(shape, color, &pen(width));
    }

    /// Draws a line that ends squarely, as a hose is cut.
    fn cut(&mut self, shape: &Shape, color: Color, width: f32) {
        self.draw(shape, color, &Stroke { line_cap: LineCap::Butt, ..pen(width) });
    }

    fn draw(&mut self, shape: &Shape, color: Color, stroke: &Stroke) {
        let Some(path) = shape else { return };
        let paint = painted(Shader::SolidColor(color));
        self.pixels.stroke_path(path, &paint, stroke, Transform::identity(), None);
    }
}

fn painted(shader: Shader<'_>) -> Paint<'_> {
    Paint { shader, ..Paint::default() }
}

fn pen(width: f32) -> Stroke {
    Stroke { width, line_cap: LineCap::Round, line_join: LineJoin::Round, ..Stroke::default() }
}

/// Spreads each value over its neighbours within `radius`, across and then down.
fn blur(values: &mut [u8], width: usize, radius: usize) {
    let height = values.len() / width.max(1);
    (0..height).for_each(|row| blur_line(values, row * width, 1, width, radius));
    (0..width).for_each(|column| blur_line(values, column, width, height, radius));
}

fn blur_line(values: &mut [u8], start: usize, step: usize, count: usize, radius: usize) {
    let before: Vec<u32> = (0..count).map(|nth| u32::from(values[start + nth * step])).collect();
    let mut sum: u32 = before.iter().take(radius).sum();
    for nth in 0..count {
        sum += before.get(nth + radius).copied().unwrap_or_default();
        values[start + nth * step] = (sum / (2 * radius as u32 + 1)) as u8;
        sum -= nth.checked_sub(radius).map(|past| before[past]).unwrap_or_default();
    }
}

#[cfg(test)]
mod tests {
    use super::blur;

    #[test]
    fn a_blur_spreads_evenly_and_loses_nothing() {
        let mut values = vec![0; 49];
        values[24] = 90;
        blur(&mut values, 7, 1);
        let around: Vec<u8> = [16, 17, 18, 23, 24, 25, 30, 31, 32].map(|at: usize| values[at]).to_vec();
        assert_eq!(around, [10; 9]);
        assert_eq!(values.iter().map(|&it| u32::from(it)).sum::<u32>(), 90);
    }
}
