//! What lies on the workbench: an anode, a hose end, bolts in a tray.

use super::lettering::{self, write};
use super::shape::{At, Shape, circle, curve, hexagon, line, oval, pebble, polygon, slab, turned};
use super::sheet::{BRASS, HEIGHT, INK, PAPER, RED, RUBBER, RUST, STEEL, Sheet, Tone, WHITE, WIDTH, WOOD};

const ZINC: Tone = Tone(186.0, 188.0, 184.0);

/// Lays the boards of the bench under everything.
fn boards(sheet: &mut Sheet) {
    let (width, height) = (f32::from(WIDTH), f32::from(HEIGHT));
    sheet.shade(&slab((0.0, 0.0), width, height, 0.0), (0.0, 0.0), (width, height), &[WOOD.light(), WOOD]);
    for (nth, top) in [-20.0_f32, 215.0, 452.0, 700.0].into_iter().enumerate() {
        let board = slab((-10.0, top), width + 20.0, 236.0, 0.0);
        if nth % 2 == 1 {
            sheet.veil(&board, RUST, 0.07);
        }
        for vein in 0..6 {
            let y = top + 24.0 + vein as f32 * 38.0;
            let points: Vec<At> = (0..=6).map(|step| (step as f32 * 210.0 - 20.0, y + sheet.sway(9.0))).collect();
            sheet.faint(&curve(&points), RUST, 2.0, 0.17);
        }
        sheet.faint(&line(&[(-10.0, top), (width + 10.0, top)]), INK, 4.0, 0.5);
    }
}

/// A strip of paper tape with hand lettering, its middle at `at`.
pub(super) fn tape(sheet: &mut Sheet, text: &str, at: At, height: f32, lean: f32) {
    let width = lettering::width(text, height) + height * 1.4;
    let corner = (at.0 - width / 2.0, at.1 - height * 0.85);
    let strip = turned(slab(corner, width, height * 1.7, 3.0), at, lean);
    sheet.cast(&strip, (4.0, 6.0), 12.0);
    sheet.fill(&strip, PAPER.toward(WHITE, 0.5));
    sheet.faint(&strip, INK, 2.0, 0.5);
    write(sheet, text, (corner.0 + height * 0.7, at.1 - height / 2.0), height, INK, height / 9.0);
}

/// An eaten pencil anode and a new one, with a rule beside them.
pub(super) fn anodes(sheet: &mut Sheet) {
    boards(sheet);
    let cloth =
        pebble(&[(120.0, 120.0), (620.0, 70.0), (1090.0, 130.0), (1120.0, 610.0), (600.0, 665.0), (90.0, 600.0)]);
    sheet.cast(&cloth, (6.0, 10.0), 24.0);
    sheet.shade(&cloth, (100.0, 80.0), (1100.0, 660.0), &[WHITE, PAPER.toward(STEEL, 0.35)]);
    sheet.faint(&cloth, INK, 2.5, 0.5);
    for fold in [[(180.0, 560.0), (420.0, 500.0), (640.0, 560.0)], [(700.0, 110.0), (880.0, 190.0), (1060.0, 170.0)]] {
        sheet.faint(&curve(&fold), STEEL, 5.0, 0.5);
    }
    brass_plug(sheet, 215.0);
    let new = slab((385.0, 180.0), 560.0, 70.0, 16.0);
    sheet.cast(&new, (6.0, 14.0), 22.0);
    sheet.round(&new, (0.0, 180.0), (0.0, 250.0), ZINC);
    sheet.ink(&new, 4.0);
    brass_plug(sheet, 455.0);
    let eaten = pebble(&[
        (385.0, 424.0),
        (430.0, 420.0),
        (470.0, 434.0),
        (510.0, 426.0),
        (545.0, 444.0),
        (585.0, 438.0),
        (622.0, 452.0),
        (652.0, 447.0),
        (668.0, 460.0),
        (640.0, 470.0),
        (600.0, 466.0),
        (566.0, 478.0),
        (520.0, 472.0),
        (478.0, 486.0),
        (430.0, 480.0),
        (385.0, 488.0),
    ]);
    sheet.cast(&eaten, (6.0, 14.0), 20.0);
    sheet.round(&eaten, (0.0, 415.0), (0.0, 492.0), ZINC.toward(RUST, 0.18));
    sheet.hatch(&eaten, 9.0, 62.0, 0.35);
    sheet.ink(&eaten, 4.0);
    for pit in 0..26 {
        let at = (400.0 + pit as f32 * 9.4, 453.0 + sheet.sway(22.0));
        sheet.veil(&oval(at, 6.0, 4.0), INK, 0.4);
        sheet.veil(&oval((at.0 + 1.0, at.1 + 4.0), 5.0, 2.0), WHITE, 0.6);
    }
    for nth in 0..14 {
        let at = (690.0 + nth as f32 * 22.0, 500.0 + sheet.sway(34.0));
        let crumb = oval(at, 5.0 + sheet.sway(3.0), 4.0);
        sheet.solid(&crumb, WHITE, 2.0);
    }
    rule(sheet, 720.0);
    tape(sheet, "NEW", (1010.0, 215.0), 30.0, -3.0);
    tape(sheet, "OUT", (800.0, 430.0), 30.0, 2.0);
}

fn brass_plug(sheet: &mut Sheet, middle: f32) {
    let head = slab((190.0, middle - 82.0), 96.0, 164.0, 10.0);
    let thread = slab((286.0, middle - 56.0), 100.0, 112.0, 4.0);
    sheet.cast(&head, (6.0, 14.0), 22.0);
    sheet.round(&thread, (0.0, middle - 56.0), (0.0, middle + 56.0), BRASS);
    sheet.ink(&thread, 4.0);
    for turn in 0..7 {
        let x = 298.0 + turn as f32 * 13.0;
        sheet.faint(&line(&[(x, middle - 55.0), (x + 7.0, middle + 55.0)]), INK, 3.0, 0.6);
    }
    sheet.shade(&head, (190.0, middle - 82.0), (190.0, middle + 82.0), &[BRASS.light(), BRASS, BRASS.dark()]);
    for edge in [-30.0, 34.0] {
        sheet.ink(&line(&[(190.0, middle + edge), (286.0, middle + edge)]), 3.0);
    }
    sheet.ink(&head, 5.0);
}

fn rule(sheet: &mut Sheet, top: f32) {
    let body = slab((90.0, top), 1030.0, 92.0, 4.0);
    sheet.cast(&body, (5.0, 10.0), 18.0);
    sheet.shade(&body, (0.0, top), (0.0, top + 92.0), &[STEEL.light(), STEEL.toward(WHITE, 0.3)]);
    sheet.ink(&body, 4.0);
    for tick in 0..=100 {
        let x = 110.0 + tick as f32 * 9.9;
        let long = match tick % 10 {
            0 => 44.0,
            5 => 32.0,
            _ => 20.0,
        };
        sheet.stroke(&line(&[(x, top + 3.0), (x, top + long)]), INK, 2.0);
        if tick % 10 == 0 && tick < 100 {
            write(sheet, &(tick / 10).to_string(), (x + 6.0, top + 56.0), 24.0, INK, 2.6);
        }
    }
}

/// The end of a raw-water hose with its clip and a paper tag.
pub(super) fn hose_end(sheet: &mut Sheet) {
    boards(sheet);
    let way = [(-60.0, 690.0), (180.0, 640.0), (360.0, 500.0), (560.0, 400.0), (790.0, 392.0)];
    let hose = curve(&way);
    sheet.cast(&outline_of(&way, 120.0), (16.0, 34.0), 44.0);
    sheet.tube(&hose, 220.0, RUBBER);
    for nth in 0..13 {
        let way = nth as f32 / 13.0;
        let at = (120.0 + 590.0 * way, 650.0 - 280.0 * way.powf(0.75));
        let cord = line(&[(at.0 - 14.0, at.1 - 84.0), (at.0 + 34.0, at.1 - 20.0)]);
        sheet.faint(&cord, WHITE, 2.5, 0.16);
    }
    let mouth = oval((800.0, 392.0), 52.0, 112.0);
    sheet.solid(&mouth, RUBBER.light(), 6.0);
    let bore = oval((806.0, 394.0), 34.0, 80.0);
    sheet.shade(&bore, (770.0, 320.0), (840.0, 470.0), &[INK, INK, RUBBER]);
    sheet.ink(&bore, 4.0);
    sheet.faint(&curve(&[(783.0, 346.0), (775.0, 392.0), (784.0, 444.0)]), WHITE, 6.0, 0.35);
    clip(sheet);
    // The ridge that the clip left where it sat.
    sheet.faint(&curve(&[(722.0, 286.0), (690.0, 390.0), (724.0, 500.0)]), WHITE, 5.0, 0.25);
    sheet.faint(&curve(&[(736.0, 284.0), (704.0, 390.0), (738.0, 500.0)]), INK, 5.0, 0.5);
    let string = curve(&[(350.0, 620.0), (400.0, 700.0), (520.0, 720.0), (640.0, 742.0)]);
    sheet.faint(&string, INK, 7.0, 0.8);
    sheet.stroke(&string, WOOD.light(), 4.0);
    let tag = polygon(&[(630.0, 742.0), (690.0, 676.0), (1090.0, 694.0), (1082.0, 836.0), (682.0, 818.0)]);
    sheet.cast(&tag, (8.0, 12.0), 22.0);
    sheet.solid(&tag, PAPER.toward(WOOD, 0.4), 4.0);
    sheet.solid(&circle((668.0, 744.0), 12.0), WOOD, 4.0);
    write(sheet, "PORT LOWER", (708.0, 706.0), 40.0, INK, 5.0);
    write(sheet, "ARROW UP", (712.0, 768.0), 34.0, RED, 4.5);
}

/// The outline of a wide line, so that it can cast a shadow.
fn outline_of(points: &[At], half: f32) -> Shape {
    let above = points.iter().map(|&(x, y)| (x - half * 0.45, y - half * 0.75));
    let below = points.iter().rev().map(|&(x, y)| (x + half * 0.45, y + half * 0.75));
    polygon(&above.chain(below).collect::<Vec<_>>())
}

fn clip(sheet: &mut Sheet) {
    let band = pebble(&[
        (520.0, 300.0),
        (548.0, 290.0),
        (572.0, 292.0),
        (556.0, 400.0),
        (592.0, 512.0),
        (566.0, 520.0),
        (540.0, 518.0),
        (506.0, 410.0),
    ]);
    sheet.shade(&band, (540.0, 285.0), (560.0, 520.0), &[STEEL, WHITE, STEEL, STEEL.dark()]);
    sheet.ink(&band, 4.0);
    for slot in 0..9 {
        let y = 398.0 + slot as f32 * 12.0;
        let x = 528.0 + (slot as f32 - 1.0).max(0.0).powf(1.35) * 1.6;
        sheet.stroke(&line(&[(x - 9.0, y), (x + 14.0, y - 3.0)]), INK, 4.0);
    }
    let housing = turned(slab((480.0, 236.0), 118.0, 74.0, 12.0), (540.0, 270.0), -8.0);
    sheet.cast(&housing, (8.0, 14.0), 16.0);
    sheet.shade(&housing, (480.0, 230.0), (500.0, 310.0), &[WHITE, STEEL, STEEL.dark()]);
    sheet.ink(&housing, 5.0);
    let head = hexagon((474.0, 282.0), 34.0, 20.0);
    sheet.shade(&head, (450.0, 250.0), (500.0, 312.0), &[WHITE, STEEL, STEEL.dark()]);
    sheet.ink(&head, 5.0);
    sheet.stroke(&line(&[(456.0, 292.0), (493.0, 272.0)]), INK, 7.0);
}

/// A tray with four rows of bolts, each row with its tape.
pub(super) fn bolt_tray(sheet: &mut Sheet) {
    boards(sheet);
    let tray = slab((70.0, 60.0), 1060.0, 780.0, 26.0);
    sheet.cast(&tray, (14.0, 26.0), 40.0);
    sheet.solid(&tray, Tone(122.0, 134.0, 132.0), 7.0);
    let rows = [
        ("END CAP AFT", 8, 62.0, -2.0),
        ("END CAP FWD", 8, 62.0, 1.5),
        ("BRACKET", 4, 104.0, -1.0),
        ("BELT GUARD", 3, 44.0, 2.5),
    ];
    for (nth, &(label, bolts, shank, lean)) in rows.iter().enumerate() {
        let top = 84.0 + nth as f32 * 186.0;
        let floor = slab((96.0, top), 1008.0, 172.0, 14.0);
        let (shadow, light) = (Tone(92.0, 104.0, 103.0), Tone(168.0, 178.0, 174.0));
        sheet.shade(&floor, (0.0, top), (0.0, top + 172.0), &[shadow, light, light]);
        sheet.ink(&floor, 5.0);
        tape(sheet, label, (268.0, top + 88.0), 27.0, lean);
        for bolt in 0..bolts {
            let at = (476.0 + bolt as f32 * 80.0 + sheet.sway(8.0), top + 40.0 + sheet.sway(5.0));
            let lean = sheet.sway(13.0);
            lying_bolt(sheet, at, shank, lean);
        }
    }
}

fn lying_bolt(sheet: &mut Sheet, (x, y): At, shank: f32, lean: f32) {
    let about = (x, y + shank / 2.0);
    let turn = |shape| turned(shape, about, lean);
    let body = turn(slab((x - 12.0, y + 20.0), 24.0, shank, 3.0));
    let collar = turn(slab((x - 27.0, y + 14.0), 54.0, 9.0, 3.0));
    let head = turn(polygon(&[
        (x - 23.0, y - 14.0),
        (x - 12.0, y - 18.0),
        (x + 12.0, y - 18.0),
        (x + 23.0, y - 14.0),
        (x + 23.0, y + 14.0),
        (x - 23.0, y + 14.0),
    ]));
    sheet.cast(&body, (7.0, 8.0), 9.0);
    sheet.cast(&head, (7.0, 8.0), 9.0);
    sheet.round(&body, (x - 12.0, y), (x + 12.0, y), STEEL);
    for turn_of_thread in 0..(shank / 7.0 - 2.0) as i32 {
        let at = y + 34.0 + turn_of_thread as f32 * 7.0;
        sheet.faint(&turn(line(&[(x - 12.0, at), (x + 12.0, at - 4.0)])), INK, 2.4, 0.65);
    }
    sheet.ink(&body, 3.0);
    sheet.solid(&collar, STEEL.light(), 3.0);
    sheet.round(&head, (x - 23.0, y), (x + 23.0, y), STEEL);
    sheet.ink(&head, 3.5);
    for edge in [-9.0, 10.0] {
        sheet.faint(&turn(line(&[(x + edge, y - 16.0), (x + edge, y + 13.0)])), INK, 2.4, 0.7);
    }
}
