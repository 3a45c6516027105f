//! The launch's heat exchanger: on the engine, and its tubes behind the end cap.

use super::bench::tape;
use super::shape::{At, around, between, circle, curve, hexagon, line, oval, pebble, polygon, slab, turned};
use super::sheet::{BRASS, BRONZE, HEIGHT, INK, PAPER, RUBBER, RUST, STEEL, Sheet, Tone, WHITE, WIDTH};

const ENGINE: Tone = Tone(96.0, 120.0, 126.0);

fn behind(sheet: &mut Sheet, tone: Tone) {
    let (width, height) = (f32::from(WIDTH), f32::from(HEIGHT));
    let wall = slab((0.0, 0.0), width, height, 0.0);
    sheet.shade(&wall, (0.0, 0.0), (width, height), &[tone.light(), tone, tone.dark()]);
}

/// The engine from port, the exchanger across its top, before anything came off.
pub(super) fn whole(sheet: &mut Sheet) {
    behind(sheet, PAPER.toward(STEEL, 0.3));
    for x in [90.0, 1130.0] {
        let frame = slab((x - 30.0, -10.0), 60.0, 930.0, 4.0);
        sheet.shade(&frame, (x - 30.0, 0.0), (x + 30.0, 0.0), &[PAPER, PAPER.toward(INK, 0.25)]);
        sheet.faint(&frame, INK, 4.0, 0.6);
    }
    block(sheet);
    hoses_behind(sheet);
    exchanger(sheet);
    for (text, at, lean) in [("A", (226.0, 150.0), -4.0), ("B", (986.0, 170.0), 3.0), ("C", (310.0, 724.0), -2.0)] {
        tape(sheet, text, at, 34.0, lean);
    }
}

fn block(sheet: &mut Sheet) {
    let bed = slab((130.0, 810.0), 960.0, 70.0, 6.0);
    sheet.solid(&bed, PAPER.toward(INK, 0.45), 5.0);
    let body = polygon(&[
        (240.0, 420.0),
        (960.0, 420.0),
        (990.0, 520.0),
        (990.0, 780.0),
        (900.0, 820.0),
        (300.0, 820.0),
        (230.0, 780.0),
    ]);
    sheet.cast(&body, (24.0, 24.0), 60.0);
    sheet.shade(&body, (240.0, 420.0), (980.0, 820.0), &[ENGINE.toward(WHITE, 0.35), ENGINE, ENGINE.dark()]);
    sheet.ink(&body, 7.0);
    // Three cylinders: three bulges of the casting, three injector pipes.
    for nth in 0..3 {
        let x = 350.0 + nth as f32 * 220.0;
        let bulge = slab((x - 80.0, 480.0), 160.0, 190.0, 40.0);
        sheet.shade(&bulge, (x - 80.0, 480.0), (x + 80.0, 670.0), &[ENGINE.light(), ENGINE, ENGINE.toward(INK, 0.35)]);
        sheet.faint(&bulge, INK, 4.0, 0.8);
        let pipe = curve(&[
            (x, 500.0),
            (x + 20.0, 600.0),
            (x + 60.0 - nth as f32 * 40.0, 680.0),
            (640.0 + nth as f32 * 34.0, 716.0),
        ]);
        sheet.tube(&pipe, 10.0, STEEL);
    }
    let pump = slab((600.0, 700.0), 190.0, 96.0, 14.0);
    sheet.cast(&pump, (8.0, 12.0), 16.0);
    sheet.shade(&pump, (600.0, 700.0), (790.0, 796.0), &[STEEL.light(), STEEL, STEEL.dark()]);
    sheet.ink(&pump, 5.0);
    for x in [276.0, 420.0, 560.0, 846.0, 940.0] {
        sheet.solid(&hexagon((x, 792.0), 17.0, 10.0), STEEL, 4.0);
    }
}

fn hoses_behind(sheet: &mut Sheet) {
    let ways = [
        [(190.0, 330.0), (120.0, 420.0), (130.0, 600.0), (236.0, 700.0), (310.0, 724.0)],
        [(1030.0, 330.0), (1110.0, 420.0), (1100.0, 560.0), (1040.0, 650.0), (960.0, 690.0)],
    ];
    for way in ways {
        let hose = curve(&way);
        sheet.cast(&hose, (16.0, 24.0), 40.0);
        sheet.tube(&hose, 74.0, RUBBER);
    }
    let upper = curve(&[(470.0, 250.0), (470.0, 130.0), (560.0, 60.0), (700.0, -40.0)]);
    sheet.tube(&upper, 58.0, RUBBER);
    for (at, lean) in [((312.0, 718.0), 15.0), ((956.0, 690.0), 160.0), ((470.0, 214.0), 90.0)] {
        clip(sheet, at, lean);
    }
}

fn exchanger(sheet: &mut Sheet) {
    for x in [400.0, 790.0] {
        let bracket = polygon(&[(x - 50.0, 430.0), (x - 36.0, 350.0), (x + 36.0, 350.0), (x + 50.0, 430.0)]);
        sheet.shade(&bracket, (x - 50.0, 0.0), (x + 50.0, 0.0), &[STEEL.light(), STEEL.dark()]);
        sheet.ink(&bracket, 5.0);
        for bolt in [x - 28.0, x + 28.0] {
            sheet.solid(&hexagon((bolt, 414.0), 14.0, 6.0), STEEL.light(), 3.5);
        }
    }
    let shell = slab((250.0, 246.0), 720.0, 150.0, 6.0);
    sheet.cast(&shell, (14.0, 34.0), 40.0);
    sheet.round(&shell, (0.0, 246.0), (0.0, 396.0), ENGINE.toward(STEEL, 0.3));
    sheet.ink(&shell, 6.0);
    for (x, degrees) in [(182.0, 1.0), (950.0, -1.0)] {
        let cap = slab((x, 232.0), 88.0, 178.0, 30.0);
        sheet.cast(&cap, (8.0, 20.0), 24.0);
        sheet.round(&cap, (0.0, 232.0), (0.0, 410.0), BRONZE);
        sheet.ink(&cap, 6.0);
        let flange = slab((if degrees > 0.0 { x + 66.0 } else { x - 4.0 }, 216.0), 28.0, 210.0, 6.0);
        sheet.round(&flange, (0.0, 216.0), (0.0, 426.0), BRONZE);
        sheet.ink(&flange, 5.0);
        for y in [244.0, 296.0, 348.0, 398.0] {
            let bolt = slab((if degrees > 0.0 { x + 46.0 } else { x + 22.0 }, y - 11.0), 22.0, 22.0, 4.0);
            sheet.solid(&bolt, STEEL, 3.5);
        }
    }
    for band in [330.0, 880.0] {
        let ring = slab((band, 240.0), 24.0, 162.0, 4.0);
        sheet.round(&ring, (0.0, 240.0), (0.0, 402.0), STEEL);
        sheet.ink(&ring, 4.0);
    }
    let filler = slab((560.0, 190.0), 110.0, 62.0, 8.0);
    sheet.round(&filler, (560.0, 0.0), (670.0, 0.0), BRASS);
    sheet.ink(&filler, 5.0);
    let cap = slab((544.0, 160.0), 142.0, 40.0, 14.0);
    sheet.cast(&cap, (6.0, 10.0), 12.0);
    sheet.round(&cap, (544.0, 0.0), (686.0, 0.0), STEEL);
    sheet.ink(&cap, 5.0);
    let anode = hexagon((760.0, 390.0), 26.0, 0.0);
    sheet.solid(&anode, BRASS, 5.0);
}

fn clip(sheet: &mut Sheet, at: At, lean: f32) {
    let band = turned(slab((at.0 - 12.0, at.1 - 44.0), 24.0, 88.0, 6.0), at, lean);
    sheet.shade(&band, (at.0 - 30.0, at.1 - 40.0), (at.0 + 30.0, at.1 + 40.0), &[WHITE, STEEL, STEEL.dark()]);
    sheet.ink(&band, 4.0);
    let screw = turned(slab((at.0 - 16.0, at.1 - 58.0), 40.0, 26.0, 5.0), at, lean);
    sheet.solid(&screw, STEEL, 4.0);
}

/// The tube stack with the end cap off: choked with scale and weed, or clean.
pub(super) fn tubes(sheet: &mut Sheet, choked: bool) {
    behind(sheet, ENGINE.toward(PAPER, 0.25));
    let centre = (640.0, 430.0);
    let shell = circle(centre, 380.0);
    sheet.cast(&shell, (26.0, 36.0), 70.0);
    sheet.dome(&shell, (500.0, 260.0), 640.0, ENGINE.light(), ENGINE.dark());
    sheet.ink(&shell, 7.0);
    let face = between(circle(centre, 350.0), circle(centre, 268.0));
    sheet.shade(&face, (380.0, 150.0), (880.0, 720.0), &[STEEL.light(), STEEL, WHITE, STEEL.dark()]);
    sheet.ink(&face, 5.0);
    if choked {
        gasket(sheet, centre);
    }
    for hole in 0..8 {
        let at = around(centre, 310.0, 22.5 + hole as f32 * 45.0);
        sheet.solid(&circle(at, 22.0), INK, 4.0);
        let thread: Vec<At> = (0..=10).map(|step| around(at, 15.0, 130.0 + step as f32 * 20.0)).collect();
        sheet.faint(&curve(&thread), WHITE, 3.0, 0.6);
    }
    let plate = circle(centre, 268.0);
    let metal = if choked { BRASS.toward(RUST, 0.5) } else { BRASS.toward(WHITE, 0.15) };
    sheet.dome(&plate, (560.0, 340.0), 400.0, metal.light(), metal.toward(INK, 0.2));
    sheet.ink(&plate, 6.0);
    stack(sheet, centre, choked);
    if choked {
        weed(sheet)
    } else {
        brush(sheet)
    }
    cap_beside(sheet, choked);
}

fn gasket(sheet: &mut Sheet, centre: At) {
    for piece in 0..9 {
        let degrees = piece as f32 * 41.0;
        let arc: Vec<At> = (0..=6).map(|step| around(centre, 286.0, degrees + step as f32 * 4.6)).collect();
        let wide = 20.0 + sheet.sway(8.0);
        sheet.faint(&curve(&arc), RUBBER, wide, 0.75);
    }
}

/// Tubes in rows of a hexagonal pattern, as many as the plate holds.
fn stack(sheet: &mut Sheet, centre: At, choked: bool) {
    let apart = 76.0;
    for row in -6_i16..=6 {
        for place in -6_i16..=6 {
            let shift = f32::from(row.rem_euclid(2)) * apart / 2.0;
            let at = (centre.0 + f32::from(place) * apart + shift, centre.1 + f32::from(row) * apart * 0.866);
            if (at.0 - centre.0).hypot(at.1 - centre.1) > 236.0 {
                continue;
            }
            tube(sheet, at, choked);
        }
    }
}

fn tube(sheet: &mut Sheet, at: At, choked: bool) {
    sheet.solid(&circle(at, 31.0), BRASS.light(), 3.0);
    sheet.fill(&circle(at, 25.0), INK);
    if choked {
        let filled = sheet.sway(1.0);
        let scale = PAPER.toward(RUST, 0.25 + filled.abs() * 0.35);
        let off = (at.0 + sheet.sway(4.0), at.1 + sheet.sway(4.0));
        sheet.fill(&circle(off, 15.0 + filled * 8.0), scale);
    } else {
        let depth = circle((at.0 + 4.0, at.1 + 4.0), 14.0);
        sheet.veil(&depth, BRASS, 0.35);
        let rim: Vec<At> = (0..=8).map(|step| around(at, 28.0, 170.0 + step as f32 * 14.0)).collect();
        sheet.faint(&curve(&rim), WHITE, 3.0, 0.9);
    }
}

fn weed(sheet: &mut Sheet) {
    let green = Tone(96.0, 108.0, 66.0);
    for strand in 0..22_u8 {
        let from = (560.0 + f32::from(strand) * 9.0, 540.0 + sheet.sway(60.0));
        let way = curve(&[
            from,
            (from.0 + sheet.sway(40.0), from.1 + 50.0),
            (from.0 + sheet.sway(60.0), from.1 + 96.0),
            (from.0 + 20.0 + sheet.sway(60.0), from.1 + 130.0),
        ]);
        sheet.stroke(&way, INK, 7.0);
        sheet.stroke(&way, green.toward(RUST, f32::from(strand % 4) * 0.18), 4.5);
    }
    let leaf = pebble(&[(500.0, 380.0), (560.0, 340.0), (640.0, 352.0), (600.0, 404.0), (530.0, 420.0)]);
    sheet.cast(&leaf, (5.0, 7.0), 10.0);
    sheet.solid(&leaf, green.toward(RUST, 0.5), 4.0);
    sheet.faint(&curve(&[(506.0, 384.0), (560.0, 380.0), (632.0, 354.0)]), INK, 3.0, 0.7);
}

fn brush(sheet: &mut Sheet) {
    let rod = line(&[(690.0, 473.0), (1230.0, 700.0)]);
    sheet.cast(&rod, (10.0, 22.0), 16.0);
    sheet.tube(&rod, 13.0, STEEL);
    for bristle in 0..40 {
        let way = bristle as f32 / 40.0;
        let at = (700.0 + 150.0 * way, 477.0 + 63.0 * way);
        let off = (6.0 + sheet.sway(5.0), 22.0 + sheet.sway(4.0));
        sheet.stroke(&line(&[(at.0 - off.0, at.1 + off.1), (at.0 + off.0, at.1 - off.1)]), BRASS.toward(INK, 0.2), 3.0);
    }
}

fn cap_beside(sheet: &mut Sheet, choked: bool) {
    let centre = (110.0, 700.0);
    let cap = circle(centre, 210.0);
    sheet.cast(&cap, (20.0, 28.0), 44.0);
    sheet.dome(&cap, (50.0, 620.0), 330.0, BRONZE.light(), BRONZE.dark());
    sheet.ink(&cap, 6.0);
    let hollow = circle(centre, 150.0);
    sheet.dome(&hollow, (150.0, 750.0), 220.0, BRONZE.toward(WHITE, 0.2), BRONZE.dark());
    sheet.ink(&hollow, 5.0);
    // The rib that sends the water back through the other half of the tubes.
    let rib = turned(slab((-40.0, 686.0), 300.0, 28.0, 4.0), centre, -18.0);
    sheet.solid(&rib, BRONZE, 5.0);
    for hole in 0..8 {
        let at = around(centre, 181.0, 10.0 + hole as f32 * 45.0);
        sheet.solid(&circle(at, 15.0), INK, 3.5);
    }
    if choked {
        for _ in 0..40 {
            let at = (120.0 + sheet.sway(110.0), 760.0 + sheet.sway(60.0));
            let size = 8.0 + sheet.sway(6.0);
            sheet.solid(&oval(at, size, size * 0.7), PAPER.toward(RUST, 0.4), 2.0);
        }
    }
}
