//! A propeller in the lift: what one sees once she is out of the water.

use super::shape::{At, around, circle, curve, hexagon, line, oval, pebble, polygon, slab, turned};
use super::sheet::{BRASS, BRONZE, INK, PAPER, RED, RUST, STEEL, Sheet, Tone, WHITE, WOOD};

/// A propeller out of the water, with a rope around its shaft or clear.
pub(super) fn lifted(sheet: &mut Sheet, roped: bool) {
    yard(sheet);
    let hull = pebble(&[
        (-40.0, -60.0),
        (700.0, -60.0),
        (960.0, 20.0),
        (900.0, 130.0),
        (620.0, 260.0),
        (280.0, 420.0),
        (-40.0, 520.0),
    ]);
    sheet.cast(&hull, (30.0, 40.0), 70.0);
    sheet.shade(
        &hull,
        (200.0, -40.0),
        (420.0, 420.0),
        &[RED.toward(INK, 0.1), RED.toward(RUST, 0.4), INK.toward(RED, 0.35)],
    );
    sheet.ink(&hull, 7.0);
    for plank in 0..4 {
        let fall = plank as f32 * 96.0;
        let seam = curve(&[(-40.0, 130.0 + fall), (300.0, 60.0 + fall * 0.8), (700.0, -40.0 + fall * 0.62)]);
        sheet.faint(&seam, INK, 3.0, 0.35);
    }
    let sling = polygon(&[(250.0, -20.0), (370.0, -20.0), (330.0, 392.0), (236.0, 436.0)]);
    sheet.solid(&sling, Tone(196.0, 172.0, 110.0), 5.0);
    sheet.hatch(&sling, 12.0, 84.0, 0.35);
    rudder(sheet);
    let shaft = line(&[(300.0, 452.0), (735.0, 486.0)]);
    sheet.tube(&shaft, 56.0, STEEL);
    let log = line(&[(180.0, 436.0), (370.0, 456.0)]);
    sheet.tube(&log, 108.0, BRONZE);
    anode(sheet, if roped { 0.55 } else { 1.0 });
    let hub = (760.0, 488.0);
    for degrees in [262.0, 22.0, 142.0] {
        propeller_blade(sheet, hub, degrees);
    }
    let boss = pebble(&[
        (700.0, 440.0),
        (770.0, 430.0),
        (850.0, 460.0),
        (880.0, 494.0),
        (846.0, 528.0),
        (764.0, 546.0),
        (700.0, 534.0),
    ]);
    sheet.round(&boss, (0.0, 430.0), (0.0, 548.0), BRONZE);
    sheet.ink(&boss, 6.0);
    sheet.solid(&hexagon((866.0, 494.0), 26.0, 14.0), BRASS, 4.5);
    if roped {
        rope(sheet);
    }
}

fn yard(sheet: &mut Sheet) {
    let sky = Tone(214.0, 216.0, 210.0);
    sheet.shade(&slab((0.0, 0.0), 1200.0, 660.0, 0.0), (0.0, 0.0), (0.0, 660.0), &[sky, sky.toward(PAPER, 0.6)]);
    let shed = polygon(&[(760.0, 560.0), (760.0, 300.0), (980.0, 220.0), (1210.0, 300.0), (1210.0, 560.0)]);
    sheet.fill(&shed, sky.toward(INK, 0.16));
    sheet.hatch(&shed, 22.0, 90.0, 0.14);
    let ground = polygon(&[(0.0, 640.0), (1200.0, 560.0), (1200.0, 900.0), (0.0, 900.0)]);
    sheet.shade(&ground, (0.0, 560.0), (0.0, 900.0), &[Tone(170.0, 164.0, 150.0), Tone(128.0, 122.0, 110.0)]);
    for _ in 0..150 {
        let at = (600.0 + sheet.sway(600.0), 770.0 + sheet.sway(120.0));
        let wide = 7.0 + sheet.sway(5.0);
        sheet.veil(&oval(at, wide, wide * 0.45), INK, 0.22);
    }
    for (x, y, wide) in [(-20.0, 700.0, 380.0), (20.0, 602.0, 300.0), (60.0, 504.0, 220.0)] {
        let chock = slab((x, y), wide, 98.0, 4.0);
        sheet.cast(&chock, (20.0, 24.0), 30.0);
        sheet.shade(&chock, (x, y), (x, y + 98.0), &[WOOD, WOOD.toward(INK, 0.35)]);
        sheet.ink(&chock, 5.0);
    }
}

fn rudder(sheet: &mut Sheet) {
    let blade =
        pebble(&[(990.0, 130.0), (1100.0, 170.0), (1126.0, 430.0), (1100.0, 700.0), (1010.0, 716.0), (974.0, 430.0)]);
    sheet.cast(&blade, (20.0, 30.0), 40.0);
    sheet.shade(
        &blade,
        (970.0, 0.0),
        (1120.0, 0.0),
        &[RED.toward(INK, 0.1), RED.toward(RUST, 0.5), INK.toward(RED, 0.3)],
    );
    sheet.ink(&blade, 6.0);
    sheet.tube(&line(&[(1010.0, 20.0), (1000.0, 160.0)]), 34.0, STEEL);
    let skeg = polygon(&[(480.0, 640.0), (1040.0, 706.0), (1040.0, 744.0), (440.0, 676.0)]);
    sheet.solid(&skeg, INK.toward(RED, 0.4), 5.0);
}

fn anode(sheet: &mut Sheet, left: f32) {
    let (x, half) = (470.0, 30.0 + 34.0 * left);
    let wide = 70.0 + 50.0 * left;
    let collar = turned(slab((x, 464.0 - half), wide, half * 2.0, 14.0), (x, 464.0), 4.5);
    let zinc = if left < 1.0 { STEEL.toward(RUST, 0.25) } else { STEEL.light() };
    sheet.round(&collar, (0.0, 464.0 - half), (0.0, 468.0 + half), zinc);
    sheet.ink(&collar, 5.0);
    if left < 1.0 {
        sheet.hatch(&collar, 8.0, 55.0, 0.5);
    } else {
        sheet.solid(&circle((x + 60.0, 472.0), 16.0), BRASS, 4.0);
    }
}

fn propeller_blade(sheet: &mut Sheet, hub: At, degrees: f32) {
    let at = |far: f32, off: f32| {
        let (x, y) = around(hub, far, degrees + off);
        // The disc is seen from the side, so it is narrower than high.
        (hub.0 + (x - hub.0) * 0.78, y)
    };
    let outline = pebble(&[
        at(46.0, -40.0),
        at(170.0, -34.0),
        at(266.0, -12.0),
        at(278.0, 10.0),
        at(210.0, 26.0),
        at(60.0, 34.0),
    ]);
    sheet.cast(&outline, (18.0, 26.0), 34.0);
    sheet.shade(&outline, at(170.0, -34.0), at(210.0, 28.0), &[BRONZE.light(), BRASS, BRONZE, BRONZE.dark()]);
    sheet.ink(&outline, 6.0);
    sheet.faint(&curve(&[at(70.0, -12.0), at(170.0, -6.0), at(252.0, 4.0)]), WHITE, 5.0, 0.35);
}

fn rope(sheet: &mut Sheet) {
    let hemp = Tone(206.0, 190.0, 150.0);
    let loose =
        curve(&[(650.0, 560.0), (600.0, 690.0), (690.0, 770.0), (830.0, 740.0), (900.0, 800.0), (860.0, 930.0)]);
    sheet.tube(&loose, 24.0, hemp);
    for turn in 0..6 {
        let x = 600.0 + turn as f32 * 22.0;
        let coil = curve(&[
            (x + 14.0, 418.0 - sheet.sway(10.0)),
            (x - 6.0, 450.0),
            (x - 12.0 + sheet.sway(6.0), 500.0),
            (x + 8.0, 560.0 + sheet.sway(10.0)),
        ]);
        sheet.tube(&coil, 25.0, hemp);
    }
    let across =
        curve(&[(590.0, 450.0), (650.0, 400.0), (740.0, 420.0), (800.0, 520.0), (770.0, 600.0), (660.0, 590.0)]);
    sheet.tube(&across, 24.0, hemp);
    let weed = Tone(92.0, 112.0, 70.0);
    for blade in 0..16 {
        let x = 600.0 + blade as f32 * 11.0;
        let hang = 90.0 + sheet.sway(70.0);
        let way =
            curve(&[(x, 570.0), (x + sheet.sway(14.0), 570.0 + hang * 0.5), (x + sheet.sway(26.0), 570.0 + hang)]);
        sheet.stroke(&way, INK, 8.0);
        sheet.stroke(&way, weed, 5.0);
    }
}
