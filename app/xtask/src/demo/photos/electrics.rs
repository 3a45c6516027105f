//! Batteries, belts and alternators, as one finds them below the floor.

use super::lettering::write;
use super::shape::{At, Shape, around, circle, curve, hexagon, line, oval, pebble, polygon, slab, turned};
use super::sheet::{BRASS, GREEN, HEIGHT, INK, PAPER, RED, RUBBER, RUST, STEEL, Sheet, Tone, WHITE, WIDTH, WOOD};

/// The compartment behind everything: a painted wall over a floor.
fn compartment(sheet: &mut Sheet, wall: Tone, floor: f32) {
    let (width, height) = (f32::from(WIDTH), f32::from(HEIGHT));
    let back = slab((0.0, 0.0), width, floor, 0.0);
    sheet.shade(&back, (0.0, 0.0), (width, floor), &[wall.light(), wall, wall.toward(INK, 0.2)]);
    let ground = slab((0.0, floor), width, height - floor, 0.0);
    sheet.shade(&ground, (0.0, floor), (0.0, height), &[wall.dark(), wall.toward(INK, 0.25)]);
    sheet.ink(&line(&[(0.0, floor), (width, floor)]), 5.0);
}

/// A battery with a meter on its terminals: `volts` on the display, the live
/// terminal `furred` or clean.
pub(super) fn battery(sheet: &mut Sheet, volts: &str, furred: bool) {
    compartment(sheet, PAPER.toward(WOOD, 0.45), 560.0);
    for x in [250.0, 640.0, 1010.0] {
        sheet.faint(&line(&[(x, 0.0), (x - 6.0, 556.0)]), INK, 3.0, 0.25);
    }
    let tray = polygon(&[(60.0, 790.0), (86.0, 690.0), (704.0, 690.0), (730.0, 790.0), (716.0, 840.0), (74.0, 840.0)]);
    sheet.cast(&tray, (10.0, 16.0), 36.0);
    sheet.solid(&tray, RUBBER.toward(STEEL, 0.2), 5.0);
    case(sheet);
    cables(sheet);
    terminal(sheet, (226.0, 322.0), RED);
    terminal(sheet, (560.0, 322.0), RUBBER);
    if furred {
        fur(sheet, (226.0, 338.0));
    }
    meter(sheet, volts);
    leads(sheet);
}

fn case(sheet: &mut Sheet) {
    let front = slab((110.0, 430.0), 570.0, 360.0, 12.0);
    let top = polygon(&[(110.0, 438.0), (170.0, 346.0), (624.0, 346.0), (680.0, 438.0)]);
    sheet.cast(&front, (26.0, 22.0), 50.0);
    let body = Tone(72.0, 78.0, 80.0);
    sheet.shade(&front, (110.0, 430.0), (680.0, 790.0), &[body.toward(WHITE, 0.28), body, body.dark()]);
    sheet.ink(&front, 6.0);
    sheet.shade(&top, (110.0, 346.0), (680.0, 438.0), &[body.light(), body.toward(WHITE, 0.25)]);
    sheet.ink(&top, 5.0);
    for cell in 0..6 {
        let at = (232.0 + cell as f32 * 66.0, 404.0);
        sheet.solid(&oval(at, 22.0, 11.0), body, 3.0);
        sheet.stroke(&line(&[(at.0 - 11.0, at.1), (at.0 + 11.0, at.1)]), INK, 4.0);
    }
    for rib in 0..7 {
        let x = 150.0 + rib as f32 * 82.0;
        sheet.faint(&line(&[(x, 466.0), (x, 760.0)]), INK, 6.0, 0.28);
        sheet.faint(&line(&[(x + 5.0, 466.0), (x + 5.0, 760.0)]), WHITE, 3.0, 0.16);
    }
    let label = slab((236.0, 530.0), 320.0, 156.0, 6.0);
    sheet.shade(&label, (236.0, 530.0), (556.0, 686.0), &[PAPER, PAPER.toward(STEEL, 0.25)]);
    sheet.ink(&label, 3.0);
    write(sheet, "12 V", (264.0, 556.0), 56.0, INK, 7.0);
    write(sheet, "110 AH", (264.0, 636.0), 30.0, INK, 4.0);
    write(sheet, "+", (146.0, 458.0), 44.0, RED.toward(WHITE, 0.3), 7.0);
    write(sheet, "-", (610.0, 458.0), 44.0, WHITE, 7.0);
}

fn cables(sheet: &mut Sheet) {
    let live = curve(&[(226.0, 322.0), (160.0, 296.0), (92.0, 230.0), (60.0, 110.0), (74.0, -30.0)]);
    sheet.tube(&live, 34.0, RED);
    let earth = curve(&[(560.0, 322.0), (640.0, 300.0), (700.0, 220.0), (686.0, 100.0), (720.0, -30.0)]);
    sheet.tube(&earth, 34.0, RUBBER);
}

fn terminal(sheet: &mut Sheet, (x, y): At, tone: Tone) {
    let post = slab((x - 22.0, y - 22.0), 44.0, 66.0, 8.0);
    sheet.cast(&post, (12.0, 12.0), 16.0);
    sheet.round(&post, (x - 22.0, y), (x + 22.0, y), STEEL);
    sheet.ink(&post, 4.0);
    let clamp = slab((x - 44.0, y - 6.0), 88.0, 36.0, 12.0);
    sheet.shade(&clamp, (x, y - 6.0), (x, y + 30.0), &[BRASS.light(), BRASS, BRASS.dark()]);
    sheet.ink(&clamp, 4.5);
    sheet.solid(&circle((x + 34.0, y + 12.0), 11.0), STEEL, 3.5);
    let boot = polygon(&[(x - 44.0, y - 6.0), (x - 66.0, y - 20.0), (x - 70.0, y + 20.0), (x - 44.0, y + 30.0)]);
    sheet.solid(&boot, tone, 4.0);
    let top = oval((x, y - 22.0), 22.0, 9.0);
    sheet.solid(&top, STEEL.light(), 3.5);
}

fn fur(sheet: &mut Sheet, (x, y): At) {
    let pale = Tone(206.0, 220.0, 206.0);
    for lump in 0..46 {
        let at = (x + sheet.sway(66.0), y + sheet.sway(26.0));
        let size = 7.0 + sheet.sway(5.0);
        let tone = if lump % 3 == 0 { pale.toward(GREEN, 0.45) } else { pale.toward(WHITE, 0.4) };
        sheet.solid(&circle(at, size), tone, 2.0);
    }
    for run in [-38.0, 12.0, 30.0] {
        let crust =
            curve(&[(x + run, y + 14.0), (x + run + 3.0, y + 40.0), (x + run - 2.0, y + 76.0 + sheet.sway(20.0))]);
        sheet.stroke(&crust, pale.dark(), 13.0);
        sheet.stroke(&crust, pale, 9.0);
    }
}

fn meter(sheet: &mut Sheet, volts: &str) {
    let about = (940.0, 560.0);
    let turn = |shape| turned(shape, about, 4.0);
    let body = turn(slab((784.0, 300.0), 316.0, 520.0, 40.0));
    sheet.cast(&body, (20.0, 26.0), 46.0);
    sheet.solid(&body, Tone(176.0, 148.0, 72.0), 7.0);
    let face = turn(slab((808.0, 326.0), 268.0, 468.0, 26.0));
    sheet.shade(&face, (808.0, 326.0), (1076.0, 794.0), &[Tone(86.0, 90.0, 90.0), Tone(50.0, 54.0, 54.0)]);
    sheet.ink(&face, 4.0);
    let glass = turn(slab((830.0, 352.0), 224.0, 116.0, 10.0));
    sheet.shade(&glass, (830.0, 352.0), (1054.0, 468.0), &[Tone(206.0, 214.0, 194.0), Tone(172.0, 184.0, 164.0)]);
    sheet.ink(&glass, 4.0);
    write(sheet, volts, (852.0, 380.0), 48.0, INK, 6.5);
    write(sheet, "V", (1022.0, 440.0), 18.0, INK, 3.0);
    let knob = turn(circle((942.0, 600.0), 78.0));
    sheet.dome(&knob, (920.0, 570.0), 110.0, Tone(128.0, 132.0, 130.0), Tone(38.0, 42.0, 42.0));
    sheet.ink(&knob, 5.0);
    sheet.stroke(&turn(line(&[(942.0, 600.0), (908.0, 540.0)])), WHITE, 9.0);
    for mark in 0..9 {
        let degrees = 180.0 + mark as f32 * 22.5;
        let (from, to) = (around((942.0, 600.0), 92.0, degrees), around((942.0, 600.0), 104.0, degrees));
        sheet.stroke(&turn(line(&[from, to])), PAPER, 4.0);
    }
    for (x, tone) in [(880.0, INK), (1000.0, RED)] {
        let socket = turn(circle((x, 740.0), 24.0));
        sheet.solid(&socket, tone, 5.0);
    }
}

fn leads(sheet: &mut Sheet) {
    let black =
        curve(&[(868.0, 742.0), (800.0, 880.0), (720.0, 700.0), (720.0, 420.0), (640.0, 270.0), (590.0, 312.0)]);
    sheet.tube(&black, 13.0, RUBBER);
    let red =
        curve(&[(988.0, 746.0), (1120.0, 880.0), (1160.0, 500.0), (980.0, 180.0), (480.0, 130.0), (262.0, 268.0)]);
    sheet.tube(&red, 13.0, RED);
    for (tip, grip, tone) in [((562.0, 334.0), (640.0, 238.0), RUBBER), ((230.0, 326.0), (330.0, 232.0), RED)] {
        sheet.stroke(&line(&[tip, grip]), INK, 9.0);
        sheet.stroke(&line(&[tip, grip]), STEEL, 4.0);
        let held = line(&[(tip.0 * 0.55 + grip.0 * 0.45, tip.1 * 0.55 + grip.1 * 0.45), grip]);
        sheet.tube(&held, 20.0, tone);
    }
}

/// An alternator's belt between three pulleys, with the dust of its wear.
pub(super) fn belt(sheet: &mut Sheet) {
    compartment(sheet, Tone(176.0, 180.0, 170.0), 790.0);
    let block =
        polygon(&[(120.0, 820.0), (100.0, 330.0), (190.0, 260.0), (560.0, 240.0), (640.0, 330.0), (640.0, 820.0)]);
    sheet.cast(&block, (20.0, 20.0), 50.0);
    sheet.shade(&block, (100.0, 240.0), (640.0, 820.0), &[GREEN.light(), GREEN, GREEN.dark()]);
    sheet.ink(&block, 6.0);
    alternator_side(sheet);
    let (crank, pump, alternator) = ((360.0, 640.0), (330.0, 360.0), (850.0, 330.0));
    pulley(sheet, crank, 172.0);
    pulley(sheet, pump, 108.0);
    pulley(sheet, alternator, 82.0);
    let run = belt_line();
    sheet.stroke(&run, INK, 42.0);
    sheet.stroke(&run, RUBBER.toward(STEEL, 0.12), 32.0);
    sheet.faint(&run, WHITE, 12.0, 0.2);
    cracks(sheet);
    for _ in 0..240 {
        let at = (690.0 + sheet.sway(210.0), 560.0 + sheet.sway(200.0));
        let size = 2.6 + sheet.sway(1.8);
        sheet.veil(&circle(at, size), INK, 0.55);
    }
}

/// The outer line of the belt: tangents to three circles and the arcs between them.
fn belt_line() -> Shape {
    let (crank, pump, alternator) = ((360.0, 640.0), (330.0, 360.0), (850.0, 330.0));
    let arc = |centre: At, radius: f32, from: f32, to: f32| {
        (0..=24).map(move |step| around(centre, radius, from + (to - from) * step as f32 / 24.0))
    };
    let points: Vec<At> = arc(crank, 172.0, 57.0, 193.0)
        .chain(arc(pump, 108.0, 193.0, 264.0))
        .chain(arc(alternator, 82.0, 264.0, 417.0))
        .collect();
    polygon(&points)
}

fn alternator_side(sheet: &mut Sheet) {
    let body = slab((760.0, 190.0), 330.0, 290.0, 90.0);
    sheet.cast(&body, (24.0, 26.0), 46.0);
    sheet.shade(&body, (760.0, 190.0), (1000.0, 480.0), &[STEEL.light(), STEEL, STEEL.dark()]);
    sheet.ink(&body, 6.0);
    for fin in 0..6 {
        let x = 940.0 + fin as f32 * 24.0;
        let slot = slab((x, 250.0 + fin as f32 * 4.0), 12.0, 170.0 - fin as f32 * 8.0, 6.0);
        sheet.solid(&slot, INK, 2.0);
        sheet.faint(&line(&[(x + 8.0, 262.0), (x + 8.0, 404.0)]), RUST, 4.0, 0.7);
    }
    let strap = polygon(&[(640.0, 470.0), (660.0, 440.0), (812.0, 470.0), (806.0, 512.0)]);
    sheet.solid(&strap, STEEL.dark().toward(WHITE, 0.2), 5.0);
    for at in [(668.0, 462.0), (786.0, 484.0)] {
        sheet.solid(&hexagon(at, 20.0, 12.0), STEEL, 4.0);
    }
}

fn pulley(sheet: &mut Sheet, centre: At, radius: f32) {
    sheet.cast(&circle(centre, radius + 18.0), (14.0, 18.0), 30.0);
    sheet.dome(
        &circle(centre, radius + 18.0),
        (centre.0 - 40.0, centre.1 - 50.0),
        radius * 1.8,
        STEEL.light(),
        STEEL.dark(),
    );
    sheet.ink(&circle(centre, radius + 18.0), 5.0);
    sheet.ink(&circle(centre, radius * 0.62), 4.0);
    for hole in 0..4 {
        let at = around(centre, radius * 0.42, 45.0 + 90.0 * hole as f32);
        sheet.solid(&circle(at, radius * 0.11), INK.toward(STEEL, 0.2), 3.0);
    }
    sheet.solid(&hexagon(centre, radius * 0.2, 15.0), STEEL, 4.5);
}

fn cracks(sheet: &mut Sheet) {
    // Along the upper run, where a lamp is held when a belt is judged.
    for crack in 0..26 {
        let way = crack as f32 / 26.0;
        let at = (350.0 + 480.0 * way, 252.0 - 4.0 * way);
        let long = 13.0 + sheet.sway(4.0);
        let lean = sheet.sway(4.0);
        sheet.stroke(&line(&[(at.0, at.1 - long), (at.0 + lean, at.1 + long)]), INK, 3.0);
    }
    for frayed in 0..9 {
        let at = (500.0 + frayed as f32 * 15.0, 270.0);
        let away = (at.0 + 10.0 + sheet.sway(12.0), at.1 + 22.0 + sheet.sway(12.0));
        sheet.stroke(&curve(&[at, (at.0 + 8.0, at.1 + 8.0), away]), WOOD.light(), 3.0);
    }
}

/// The back of an alternator, its regulator's plug burnt at one pin.
pub(super) fn plug(sheet: &mut Sheet) {
    compartment(sheet, Tone(150.0, 156.0, 152.0), 850.0);
    let centre = (470.0, 450.0);
    let case = circle(centre, 360.0);
    sheet.cast(&case, (26.0, 30.0), 60.0);
    sheet.dome(&case, (340.0, 300.0), 560.0, STEEL.light(), STEEL.dark());
    sheet.ink(&case, 7.0);
    for vent in 0..14 {
        let degrees = vent as f32 * 360.0 / 14.0 + 8.0;
        let (a, b) = (around(centre, 210.0, degrees - 6.0), around(centre, 210.0, degrees + 6.0));
        let (c, d) = (around(centre, 318.0, degrees + 7.0), around(centre, 318.0, degrees - 7.0));
        sheet.solid(&polygon(&[a, b, c, d]), INK.toward(STEEL, 0.12), 4.0);
    }
    sheet.dome(&circle(centre, 168.0), (420.0, 400.0), 240.0, STEEL.light(), STEEL.toward(INK, 0.3));
    sheet.ink(&circle(centre, 168.0), 5.0);
    let regulator = turned(slab((330.0, 360.0), 320.0, 190.0, 18.0), centre, -14.0);
    sheet.cast(&regulator, (12.0, 16.0), 24.0);
    sheet.shade(&regulator, (330.0, 340.0), (640.0, 560.0), &[Tone(92.0, 96.0, 96.0), Tone(48.0, 52.0, 52.0)]);
    sheet.ink(&regulator, 6.0);
    for at in [(340.0, 550.0), (616.0, 366.0)] {
        sheet.solid(&circle(at, 22.0), STEEL, 4.5);
        sheet.stroke(&line(&[(at.0 - 12.0, at.1 - 8.0), (at.0 + 12.0, at.1 + 8.0)]), INK, 5.0);
    }
    pins(sheet);
    loose_plug(sheet);
    let stud = (716.0, 640.0);
    sheet.cast(&circle(stud, 40.0), (8.0, 10.0), 14.0);
    sheet.solid(&circle(stud, 40.0), RED, 5.0);
    sheet.solid(&hexagon(stud, 27.0, 8.0), BRASS, 4.0);
    sheet.tube(&curve(&[(726.0, 650.0), (820.0, 740.0), (930.0, 800.0), (1000.0, 940.0)]), 38.0, RED);
}

fn pins(sheet: &mut Sheet) {
    let scorch =
        pebble(&[(400.0, 430.0), (470.0, 372.0), (560.0, 398.0), (566.0, 466.0), (490.0, 512.0), (408.0, 500.0)]);
    sheet.veil(&scorch, RUST, 0.5);
    sheet.cast(&scorch, (0.0, 0.0), 40.0);
    let socket = turned(slab((402.0, 400.0), 170.0, 86.0, 12.0), (487.0, 443.0), -14.0);
    sheet.solid(&socket, INK, 4.0);
    for (nth, x) in [424.0, 475.0, 526.0].into_iter().enumerate() {
        let pin = turned(slab((x, 414.0), 24.0, 56.0, 3.0), (487.0, 443.0), -14.0);
        let tone = if nth == 1 { RUST.toward(INK, 0.35) } else { BRASS.light() };
        sheet.solid(&pin, tone, 3.0);
    }
}

fn loose_plug(sheet: &mut Sheet) {
    for (nth, tone) in [GREEN, RED, RUBBER].into_iter().enumerate() {
        let x = 904.0 + nth as f32 * 44.0;
        let wire = curve(&[(x, 260.0), (x + 14.0, 150.0), (x + 60.0 - nth as f32 * 20.0, 60.0), (x + 40.0, -30.0)]);
        sheet.tube(&wire, 15.0, tone);
    }
    let body = slab((872.0, 250.0), 158.0, 150.0, 16.0);
    sheet.cast(&body, (14.0, 20.0), 30.0);
    sheet.shade(&body, (872.0, 250.0), (1030.0, 400.0), &[PAPER, PAPER.toward(STEEL, 0.5)]);
    sheet.ink(&body, 5.5);
    let melted =
        pebble(&[(914.0, 404.0), (920.0, 350.0), (950.0, 318.0), (984.0, 352.0), (990.0, 404.0), (956.0, 422.0)]);
    sheet.veil(&melted, RUST.toward(INK, 0.4), 0.9);
    sheet.ink(&melted, 3.0);
    for x in [896.0, 944.0, 992.0] {
        let hole = slab((x, 362.0), 22.0, 40.0, 3.0);
        sheet.fill(&hole, INK);
    }
    sheet.faint(&curve(&[(862.0, 412.0), (800.0, 470.0), (700.0, 470.0), (590.0, 440.0)]), RED, 6.0, 0.8);
    sheet.stroke(&line(&[(612.0, 424.0), (588.0, 440.0), (614.0, 460.0)]), RED, 6.0);
}
