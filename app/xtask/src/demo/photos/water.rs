//! What keeps the water out, and what moves it: gland and impeller.

use super::shape::{At, around, between, circle, curve, line, moved, oval, pebble, polygon, slab, turned};
use super::sheet::{BRASS, BRONZE, GREEN, HEIGHT, INK, PAPER, RUBBER, RUST, STEEL, Sheet, Tone, WATER, WHITE, WIDTH};

/// A stern gland on its shaft, a drop falling from it or dry over a paper towel.
pub(super) fn gland(sheet: &mut Sheet, weeping: bool) {
    let (width, height) = (f32::from(WIDTH), f32::from(HEIGHT));
    let hull = Tone(150.0, 142.0, 126.0);
    sheet.shade(&slab((0.0, 0.0), width, height, 0.0), (0.0, 0.0), (width, height), &[hull.light(), hull, hull.dark()]);
    for frame in [180.0, 820.0] {
        let rib = polygon(&[(frame, -10.0), (frame + 70.0, -10.0), (frame + 50.0, 720.0), (frame - 20.0, 720.0)]);
        sheet.shade(&rib, (frame - 20.0, 0.0), (frame + 70.0, 0.0), &[hull.light(), hull, hull.dark()]);
        sheet.ink(&rib, 4.0);
    }
    bilge(sheet, weeping);
    let shaft = slab((430.0, 392.0), 800.0, 84.0, 0.0);
    sheet.cast(&shaft, (0.0, 40.0), 40.0);
    sheet.round(&shaft, (0.0, 392.0), (0.0, 476.0), STEEL);
    sheet.ink(&shaft, 5.0);
    let tube = slab((-30.0, 318.0), 330.0, 232.0, 10.0);
    sheet.cast(&tube, (0.0, 34.0), 40.0);
    sheet.round(&tube, (0.0, 318.0), (0.0, 550.0), hull.toward(RUST, 0.3));
    sheet.ink(&tube, 6.0);
    let body = slab((296.0, 344.0), 190.0, 180.0, 16.0);
    sheet.round(&body, (0.0, 344.0), (0.0, 524.0), BRONZE);
    sheet.ink(&body, 6.0);
    greaser(sheet);
    flanges(sheet);
    coupling(sheet);
    if weeping { drops(sheet) } else { chalk_mark(sheet) }
}

fn bilge(sheet: &mut Sheet, weeping: bool) {
    let sump = polygon(&[(0.0, 720.0), (1200.0, 690.0), (1200.0, 900.0), (0.0, 900.0)]);
    if weeping {
        sheet.shade(&sump, (0.0, 690.0), (0.0, 900.0), &[WATER.toward(INK, 0.3), WATER.toward(INK, 0.65)]);
        for ring in 0..3 {
            let wide = 44.0 + ring as f32 * 62.0;
            sheet.faint(&oval((570.0, 792.0), wide, wide * 0.26), WHITE, 4.0, 0.55 - ring as f32 * 0.14);
        }
    } else {
        sheet.shade(&sump, (0.0, 690.0), (0.0, 900.0), &[Tone(138.0, 128.0, 112.0), Tone(98.0, 92.0, 82.0)]);
        let towel =
            pebble(&[(330.0, 770.0), (560.0, 728.0), (860.0, 742.0), (900.0, 830.0), (600.0, 872.0), (320.0, 846.0)]);
        sheet.cast(&towel, (8.0, 8.0), 20.0);
        sheet.shade(&towel, (330.0, 730.0), (880.0, 860.0), &[WHITE, PAPER]);
        sheet.ink(&towel, 3.5);
        for fold in [[(420.0, 770.0), (520.0, 800.0), (640.0, 780.0)], [(620.0, 840.0), (720.0, 810.0), (850.0, 820.0)]]
        {
            sheet.faint(&curve(&fold), STEEL, 4.0, 0.6);
        }
    }
    sheet.ink(&line(&[(0.0, 720.0), (1200.0, 690.0)]), 5.0);
}

fn greaser(sheet: &mut Sheet) {
    let pipe = curve(&[(392.0, 350.0), (392.0, 270.0), (460.0, 200.0), (600.0, 150.0), (760.0, -20.0)]);
    sheet.cast(&pipe, (8.0, 14.0), 14.0);
    sheet.tube(&pipe, 20.0, BRASS);
    let nut = slab((368.0, 310.0), 48.0, 40.0, 5.0);
    sheet.round(&nut, (368.0, 0.0), (416.0, 0.0), BRASS);
    sheet.ink(&nut, 4.0);
}

fn flanges(sheet: &mut Sheet) {
    for (x, wide, high) in [(478.0, 44.0, 270.0), (566.0, 40.0, 232.0)] {
        let top = 434.0 - high / 2.0;
        let flange = slab((x, top), wide, high, 12.0);
        sheet.cast(&flange, (10.0, 18.0), 22.0);
        sheet.round(&flange, (0.0, top), (0.0, top + high), BRONZE);
        sheet.ink(&flange, 6.0);
    }
    let follower = slab((520.0, 374.0), 50.0, 120.0, 4.0);
    sheet.round(&follower, (0.0, 374.0), (0.0, 494.0), BRONZE);
    sheet.ink(&follower, 4.5);
    for y in [336.0, 532.0] {
        let stud = slab((500.0, y - 13.0), 190.0, 26.0, 3.0);
        sheet.cast(&stud, (6.0, 12.0), 12.0);
        sheet.round(&stud, (0.0, y - 13.0), (0.0, y + 13.0), STEEL);
        sheet.ink(&stud, 4.0);
        for turn in 0..9 {
            let x = 654.0 + turn as f32 * 4.6;
            sheet.faint(&line(&[(x, y - 12.0), (x + 3.0, y + 12.0)]), INK, 1.8, 0.6);
        }
        for x in [606.0, 640.0] {
            let nut = slab((x, y - 28.0), 28.0, 56.0, 6.0);
            sheet.shade(&nut, (0.0, y - 28.0), (0.0, y + 28.0), &[BRASS.light(), BRASS, BRASS.dark()]);
            sheet.ink(&nut, 4.0);
            sheet.ink(&line(&[(x, y - 9.0), (x + 28.0, y - 9.0)]), 2.5);
        }
    }
}

fn coupling(sheet: &mut Sheet) {
    let half = slab((990.0, 300.0), 64.0, 268.0, 10.0);
    sheet.cast(&half, (12.0, 30.0), 34.0);
    sheet.round(&half, (0.0, 300.0), (0.0, 568.0), GREEN);
    sheet.ink(&half, 6.0);
    let other = slab((1056.0, 300.0), 64.0, 268.0, 10.0);
    sheet.round(&other, (0.0, 300.0), (0.0, 568.0), STEEL);
    sheet.ink(&other, 6.0);
    for y in [344.0, 522.0] {
        let bolt = slab((970.0, y - 18.0), 26.0, 36.0, 4.0);
        sheet.solid(&bolt, STEEL, 4.0);
    }
}

fn drops(sheet: &mut Sheet) {
    for (y, size) in [(592.0, 15.0), (668.0, 18.0)] {
        let drop = pebble(&[(570.0, y - size * 2.0), (570.0 + size, y), (570.0, y + size), (570.0 - size, y)]);
        sheet.shade(&drop, (555.0, y - 20.0), (590.0, y + 20.0), &[WHITE, WATER, WATER.dark()]);
        sheet.ink(&drop, 3.0);
    }
    for run in [490.0, 580.0] {
        let trail = curve(&[(run, 452.0), (run - 3.0, 500.0), (run + 2.0, 545.0)]);
        sheet.faint(&trail, WHITE, 5.0, 0.6);
    }
    for stain in 0..5 {
        let x = 500.0 + stain as f32 * 28.0;
        let run = line(&[(x, 572.0), (x + sheet.sway(6.0), 700.0)]);
        sheet.faint(&run, RUST, 7.0, 0.22);
    }
}

/// A line across nut and stud shows later whether they have turned.
fn chalk_mark(sheet: &mut Sheet) {
    for y in [336.0, 532.0] {
        sheet.stroke(&line(&[(612.0, y - 19.0), (684.0, y - 5.0)]), WHITE, 7.0);
    }
}

/// An impeller in the housing of a raw-water pump, seen from the open cover.
pub(super) fn impeller(sheet: &mut Sheet, torn: bool) {
    let centre = (580.0, 450.0);
    engine_side(sheet);
    let housing = pebble(&[
        (580.0, 60.0),
        (850.0, 140.0),
        (972.0, 420.0),
        (880.0, 720.0),
        (580.0, 840.0),
        (290.0, 730.0),
        (190.0, 440.0),
        (310.0, 140.0),
    ]);
    sheet.cast(&housing, (22.0, 30.0), 54.0);
    sheet.shade(&housing, (200.0, 80.0), (940.0, 820.0), &[BRONZE.light(), BRONZE, BRONZE.dark()]);
    sheet.ink(&housing, 7.0);
    for hole in 0..6 {
        let at = around(centre, 340.0, 30.0 + hole as f32 * 60.0);
        sheet.solid(&circle(at, 25.0), BRONZE.light(), 4.0);
        sheet.solid(&circle(at, 14.0), INK, 3.0);
    }
    sheet.ink(&circle(centre, 296.0), 3.5);
    let bore = circle(centre, 278.0);
    sheet.dome(&bore, (640.0, 520.0), 340.0, BRONZE.toward(WHITE, 0.35), BRONZE.dark());
    sheet.ink(&bore, 6.0);
    ports(sheet);
    let cam = pebble(&[
        (390.0, 268.0),
        (470.0, 200.0),
        (580.0, 174.0),
        (690.0, 200.0),
        (770.0, 268.0),
        (690.0, 226.0),
        (580.0, 206.0),
        (470.0, 226.0),
    ]);
    sheet.solid(&cam, BRONZE, 5.0);
    for vane in 0..8 {
        let degrees = 22.0 + vane as f32 * 45.0;
        match (torn, vane) {
            (true, 1 | 4) => stump(sheet, centre, degrees),
            (true, 6) => blade(sheet, centre, degrees, 0.72),
            _ => blade(sheet, centre, degrees, 1.0),
        }
    }
    let hub = circle(centre, 104.0);
    let rubber = if torn { RUBBER.toward(STEEL, 0.16) } else { RUBBER.toward(INK, 0.2) };
    sheet.dome(&hub, (550.0, 410.0), 130.0, rubber.toward(WHITE, 0.35), rubber);
    sheet.ink(&hub, 5.0);
    let bush = circle(centre, 60.0);
    sheet.dome(&bush, (560.0, 430.0), 80.0, BRASS.light(), BRASS);
    sheet.ink(&bush, 4.5);
    let shaft = circle(centre, 34.0);
    sheet.dome(&shaft, (570.0, 440.0), 44.0, WHITE, STEEL.dark());
    sheet.ink(&shaft, 4.0);
    sheet.solid(&slab((572.0, 412.0), 16.0, 22.0, 2.0), INK, 2.0);
    if torn { scraps(sheet) } else { gloss(sheet) }
}

fn engine_side(sheet: &mut Sheet) {
    let (width, height) = (f32::from(WIDTH), f32::from(HEIGHT));
    let paint = Tone(124.0, 138.0, 132.0);
    sheet.shade(
        &slab((0.0, 0.0), width, height, 0.0),
        (0.0, 0.0),
        (width, height),
        &[paint.light(), paint, paint.dark()],
    );
    for rib in 0..4 {
        let x = 60.0 + rib as f32 * 350.0;
        let cast = slab((x, -20.0), 46.0, 940.0, 20.0);
        sheet.shade(&cast, (x, 0.0), (x + 46.0, 0.0), &[paint.light(), paint, paint.dark()]);
        sheet.faint(&cast, INK, 4.0, 0.7);
    }
    for way in [
        curve(&[(880.0, 300.0), (1010.0, 250.0), (1100.0, 130.0), (1120.0, -60.0)]),
        curve(&[(260.0, 640.0), (150.0, 720.0), (90.0, 820.0), (70.0, 960.0)]),
    ] {
        sheet.cast(&way, (14.0, 22.0), 30.0);
        sheet.tube(&way, 128.0, RUBBER);
    }
}

fn ports(sheet: &mut Sheet) {
    for degrees in [-32.0, 212.0] {
        let at = around((580.0, 450.0), 236.0, degrees);
        let port = turned(oval(at, 34.0, 66.0), at, degrees);
        sheet.solid(&port, INK, 4.0);
    }
}

/// A vane: bent back against the turn, thick at its tip.
fn blade(sheet: &mut Sheet, centre: At, degrees: f32, long: f32) {
    let reach = 92.0 + 180.0 * long;
    let outline = pebble(&[
        around(centre, 88.0, degrees - 9.0),
        around(centre, 92.0 + 90.0 * long, degrees + 1.0),
        around(centre, reach - 6.0, degrees + 9.0),
        around(centre, reach, degrees + 16.0),
        around(centre, reach - 16.0, degrees + 20.0),
        around(centre, 92.0 + 84.0 * long, degrees + 11.0),
        around(centre, 88.0, degrees + 13.0),
    ]);
    sheet.cast(&outline, (8.0, 12.0), 16.0);
    let (from, to) = (around(centre, 180.0, degrees - 4.0), around(centre, 180.0, degrees + 16.0));
    sheet.shade(&outline, from, to, &[RUBBER.toward(WHITE, 0.4), RUBBER, RUBBER.dark()]);
    sheet.ink(&outline, 5.0);
}

fn stump(sheet: &mut Sheet, centre: At, degrees: f32) {
    let outline = polygon(&[
        around(centre, 90.0, degrees - 10.0),
        around(centre, 134.0, degrees - 4.0),
        around(centre, 122.0, degrees + 1.0),
        around(centre, 144.0, degrees + 5.0),
        around(centre, 126.0, degrees + 9.0),
        around(centre, 90.0, degrees + 14.0),
    ]);
    sheet.solid(&outline, RUBBER.toward(STEEL, 0.25), 5.0);
    let edge = line(&[
        around(centre, 134.0, degrees - 4.0),
        around(centre, 122.0, degrees + 1.0),
        around(centre, 144.0, degrees + 5.0),
    ]);
    sheet.faint(&edge, WHITE, 2.5, 0.55);
}

fn scraps(sheet: &mut Sheet) {
    for (at, lean) in [((1010.0, 690.0), 20.0), ((1080.0, 780.0), 75.0)] {
        let scrap = turned(
            pebble(&[
                (at.0 - 74.0, at.1),
                (at.0 - 20.0, at.1 - 26.0),
                (at.0 + 68.0, at.1 - 18.0),
                (at.0 + 80.0, at.1 + 14.0),
                (at.0, at.1 + 18.0),
            ]),
            at,
            lean,
        );
        sheet.cast(&scrap, (10.0, 16.0), 18.0);
        sheet.solid(&scrap, RUBBER, 5.0);
        sheet.faint(
            &moved(turned(line(&[(at.0 - 40.0, at.1 - 8.0), (at.0 + 50.0, at.1 - 6.0)]), at, lean), (0.0, -4.0)),
            WHITE,
            4.0,
            0.3,
        );
    }
    for groove in 0..5 {
        let radius = 236.0 + groove as f32 * 8.0;
        let arc: Vec<At> = (0..=8).map(|step| around((580.0, 450.0), radius, 84.0 + step as f32 * 7.0)).collect();
        sheet.faint(&curve(&arc), INK, 2.0, 0.4);
    }
}

fn gloss(sheet: &mut Sheet) {
    for vane in 0..8 {
        let degrees = 25.0 + vane as f32 * 45.0;
        let shine = line(&[around((580.0, 450.0), 130.0, degrees), around((580.0, 450.0), 218.0, degrees + 6.0)]);
        sheet.faint(&shine, WHITE, 6.0, 0.5);
    }
    let film = between(circle((580.0, 450.0), 276.0), circle((580.0, 450.0), 266.0));
    sheet.veil(&film, WHITE, 0.4);
}
