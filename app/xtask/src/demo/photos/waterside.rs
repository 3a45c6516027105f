//! Boats where they lie.

use super::lettering::write;
use super::shape::{At, between, circle, curve, line, pebble, polygon, slab};
use super::sheet::{GREEN, HEIGHT, INK, PAPER, RED, RUBBER, STEEL, Sheet, Tone, WATER, WHITE, WIDTH, WOOD};

const SKY: Tone = Tone(206.0, 212.0, 210.0);

/// Sky, a far bank with trees, and water below `shore`.
fn river(sheet: &mut Sheet, shore: f32) {
    let (width, height) = (f32::from(WIDTH), f32::from(HEIGHT));
    let sky = slab((0.0, 0.0), width, shore, 0.0);
    sheet.shade(&sky, (0.0, 0.0), (0.0, shore), &[SKY, PAPER.toward(WHITE, 0.4)]);
    for (nth, x) in [40.0_f32, 190.0, 300.0, 470.0, 640.0, 730.0, 900.0, 1040.0, 1170.0].into_iter().enumerate() {
        let high = 90.0 + (nth * 37 % 70) as f32;
        let crown = pebble(&[
            (x - 86.0, shore),
            (x - 92.0, shore - high * 0.5),
            (x - 40.0, shore - high),
            (x + 30.0, shore - high * 1.05),
            (x + 88.0, shore - high * 0.55),
            (x + 84.0, shore),
        ]);
        let tone = GREEN.toward(SKY, 0.35 + (nth % 3) as f32 * 0.1);
        sheet.shade(&crown, (x - 60.0, shore - high), (x + 60.0, shore), &[tone.toward(WHITE, 0.3), tone]);
        sheet.faint(&crown, INK, 2.5, 0.35);
        sheet.hatch(&crown, 13.0, -58.0, 0.12);
    }
    let bank = polygon(&[(0.0, shore - 18.0), (width, shore - 24.0), (width, shore + 16.0), (0.0, shore + 14.0)]);
    sheet.fill(&bank, GREEN.toward(WOOD, 0.5));
    sheet.faint(&line(&[(0.0, shore + 14.0), (width, shore + 16.0)]), INK, 3.0, 0.6);
    let surface = slab((0.0, shore + 14.0), width, height - shore, 0.0);
    sheet.shade(&surface, (0.0, shore), (0.0, height), &[WATER.light(), WATER, WATER.toward(INK, 0.35)]);
    for ripple in 0..70 {
        let y = shore + 30.0 + (ripple as f32 / 70.0).powf(1.4) * (height - shore);
        let x = 600.0 + sheet.sway(620.0);
        let half = (y - shore) * 0.22 + 14.0;
        let wave = curve(&[(x - half, y), (x - half * 0.3, y - 4.0), (x + half * 0.4, y + 3.0), (x + half, y)]);
        let tone = if ripple % 2 == 0 { WHITE } else { INK };
        sheet.faint(&wave, tone, 3.0, 0.3);
    }
}

/// A flat ferry at her landing, the ramp down.
pub(super) fn ferry(sheet: &mut Sheet) {
    river(sheet, 360.0);
    let mirror =
        pebble(&[(270.0, 640.0), (640.0, 700.0), (1040.0, 650.0), (990.0, 740.0), (640.0, 780.0), (330.0, 730.0)]);
    sheet.cast(&mirror, (0.0, 10.0), 60.0);
    for x in [330.0, 900.0] {
        let float = slab((x - 110.0, 560.0), 250.0, 92.0, 30.0);
        sheet.round(&float, (0.0, 560.0), (0.0, 652.0), RED.toward(STEEL, 0.2));
        sheet.ink(&float, 6.0);
    }
    let deck =
        polygon(&[(170.0, 562.0), (250.0, 500.0), (1010.0, 500.0), (1090.0, 562.0), (1080.0, 596.0), (182.0, 596.0)]);
    sheet.shade(&deck, (0.0, 500.0), (0.0, 596.0), &[WOOD.light(), WOOD, WOOD.toward(INK, 0.5)]);
    sheet.ink(&deck, 6.0);
    for plank in 0..17 {
        let x = 270.0 + plank as f32 * 45.0;
        sheet.faint(&line(&[(x, 502.0), (x + (x - 630.0) * 0.1, 560.0)]), INK, 2.5, 0.5);
    }
    rails(sheet, (270.0, 504.0), (1000.0, 90.0), 6.0);
    wheelhouse(sheet);
    rails(sheet, (330.0, 556.0), (1070.0, 112.0), 9.0);
    ramp(sheet);
    let chain = curve(&[(1084.0, 580.0), (1130.0, 640.0), (1200.0, 668.0), (1240.0, 680.0)]);
    sheet.stroke(&chain, INK, 9.0);
    sheet.faint(&chain, STEEL, 4.0, 0.9);
}

/// A railing from its lower left corner to the right, so many pixels high.
fn rails(sheet: &mut Sheet, (left, foot): At, (right, high): At, thick: f32) {
    let posts = (0..=8).map(|post| left + (right - left) * post as f32 / 8.0);
    let upright = posts.map(|x| [(x, foot), (x, foot - high)]);
    let level = [0.5, 1.0].map(|rung| [(left, foot - high * rung), (right, foot - high * rung)]);
    for bar in upright.chain(level) {
        sheet.stroke(&line(&bar), INK, thick);
        sheet.stroke(&line(&bar), WHITE, thick * 0.5);
    }
}

fn wheelhouse(sheet: &mut Sheet) {
    let house = slab((690.0, 300.0), 230.0, 236.0, 6.0);
    sheet.cast(&house, (16.0, 16.0), 30.0);
    sheet.shade(&house, (690.0, 300.0), (920.0, 536.0), &[PAPER, PAPER.toward(STEEL, 0.5)]);
    sheet.ink(&house, 6.0);
    for x in [712.0, 818.0] {
        let pane = slab((x, 330.0), 82.0, 82.0, 8.0);
        sheet.shade(&pane, (x, 330.0), (x + 82.0, 412.0), &[WATER.light(), WATER.dark()]);
        sheet.ink(&pane, 5.0);
        sheet.faint(&line(&[(x + 16.0, 400.0), (x + 62.0, 342.0)]), WHITE, 6.0, 0.6);
    }
    let roof = polygon(&[(664.0, 302.0), (690.0, 270.0), (924.0, 270.0), (948.0, 302.0)]);
    sheet.solid(&roof, GREEN.dark().toward(WHITE, 0.15), 6.0);
    sheet.stroke(&line(&[(870.0, 270.0), (870.0, 150.0)]), INK, 7.0);
    let flag = polygon(&[(874.0, 154.0), (962.0, 172.0), (874.0, 198.0)]);
    sheet.solid(&flag, RED, 4.0);
    write(sheet, "TWO BANKS", (714.0, 276.0), 20.0, PAPER, 3.2);
    let ring = between(circle((806.0, 496.0), 30.0), circle((806.0, 496.0), 15.0));
    sheet.solid(&ring, RED.toward(WHITE, 0.15), 4.0);
}

fn ramp(sheet: &mut Sheet) {
    let landing = polygon(&[(-20.0, 640.0), (150.0, 630.0), (330.0, 900.0), (-20.0, 900.0)]);
    sheet.shade(&landing, (0.0, 630.0), (200.0, 900.0), &[Tone(186.0, 178.0, 160.0), Tone(138.0, 130.0, 116.0)]);
    sheet.ink(&landing, 6.0);
    let flap = polygon(&[(176.0, 566.0), (240.0, 590.0), (120.0, 700.0), (30.0, 664.0)]);
    sheet.cast(&flap, (12.0, 20.0), 26.0);
    sheet.solid(&flap, STEEL, 6.0);
    sheet.hatch(&flap, 14.0, 28.0, 0.45);
    sheet.stroke(&line(&[(70.0, 654.0), (236.0, 420.0)]), INK, 5.0);
    sheet.stroke(&line(&[(236.0, 420.0), (236.0, 520.0)]), INK, 10.0);
    let bollard = slab((226.0, 728.0), 56.0, 92.0, 16.0);
    sheet.cast(&bollard, (16.0, 14.0), 20.0);
    sheet.round(&bollard, (226.0, 0.0), (282.0, 0.0), RUBBER);
    sheet.ink(&bollard, 5.0);
}

/// A harbour launch alongside a stone quay.
pub(super) fn launch(sheet: &mut Sheet) {
    river(sheet, 300.0);
    let mirror =
        pebble(&[(260.0, 640.0), (700.0, 690.0), (1130.0, 620.0), (1060.0, 720.0), (680.0, 770.0), (300.0, 730.0)]);
    sheet.cast(&mirror, (0.0, 0.0), 60.0);
    cabin(sheet);
    let hull = pebble(&[
        (206.0, 430.0),
        (420.0, 498.0),
        (760.0, 512.0),
        (1150.0, 452.0),
        (1120.0, 560.0),
        (1040.0, 640.0),
        (700.0, 668.0),
        (330.0, 644.0),
        (240.0, 560.0),
    ]);
    sheet.shade(&hull, (0.0, 430.0), (0.0, 668.0), &[WATER.dark().toward(WHITE, 0.1), WATER.dark(), INK]);
    sheet.ink(&hull, 7.0);
    let boot =
        pebble(&[(262.0, 604.0), (700.0, 640.0), (1076.0, 602.0), (1040.0, 642.0), (700.0, 670.0), (330.0, 646.0)]);
    sheet.solid(&boot, RED, 4.0);
    let rubbing = curve(&[(210.0, 446.0), (420.0, 514.0), (760.0, 528.0), (1144.0, 468.0)]);
    sheet.tube(&rubbing, 18.0, WOOD);
    write(sheet, "BRISK ERRAND", (764.0, 566.0), 25.0, PAPER, 4.0);
    quay(sheet);
    for (from, to) in [((300.0, 470.0), (240.0, 742.0)), ((1092.0, 480.0), (1050.0, 742.0))] {
        let middle = ((from.0 + to.0) / 2.0 - 20.0, (from.1 + to.1) / 2.0 + 40.0);
        let warp = curve(&[from, middle, to]);
        sheet.stroke(&warp, INK, 10.0);
        sheet.stroke(&warp, WOOD.light(), 6.0);
    }
    for x in [380.0, 540.0, 680.0] {
        let fender = slab((x, 560.0), 52.0, 150.0, 24.0);
        sheet.cast(&fender, (10.0, 12.0), 16.0);
        sheet.round(&fender, (x, 0.0), (x + 52.0, 0.0), RUBBER);
        sheet.ink(&fender, 5.0);
        sheet.stroke(&line(&[(x + 26.0, 560.0), (x + 26.0, 512.0)]), INK, 5.0);
    }
}

fn cabin(sheet: &mut Sheet) {
    let house = polygon(&[(420.0, 498.0), (440.0, 330.0), (724.0, 322.0), (800.0, 508.0)]);
    sheet.shade(&house, (420.0, 322.0), (800.0, 508.0), &[PAPER.toward(WHITE, 0.5), PAPER, PAPER.toward(STEEL, 0.6)]);
    sheet.ink(&house, 6.0);
    let roof = polygon(&[(410.0, 334.0), (420.0, 306.0), (726.0, 296.0), (754.0, 326.0)]);
    sheet.solid(&roof, GREEN.dark(), 6.0);
    let panes: [[At; 4]; 3] = [
        [(462.0, 440.0), (470.0, 362.0), (546.0, 360.0), (544.0, 444.0)],
        [(566.0, 445.0), (568.0, 360.0), (640.0, 358.0), (648.0, 448.0)],
        [(668.0, 449.0), (660.0, 358.0), (710.0, 357.0), (746.0, 452.0)],
    ];
    for pane in panes {
        let shape = polygon(&pane);
        sheet.shade(&shape, pane[1], pane[3], &[WATER.light(), WATER.dark()]);
        sheet.ink(&shape, 5.0);
    }
    sheet.stroke(&line(&[(590.0, 300.0), (590.0, 170.0)]), INK, 8.0);
    sheet.stroke(&line(&[(546.0, 214.0), (634.0, 214.0)]), INK, 5.0);
    sheet.solid(&circle((590.0, 168.0), 12.0), WHITE, 4.0);
    let engine_box = slab((838.0, 424.0), 180.0, 90.0, 6.0);
    sheet.shade(&engine_box, (838.0, 424.0), (1018.0, 514.0), &[WOOD.light(), WOOD, WOOD.dark()]);
    sheet.ink(&engine_box, 5.0);
    sheet.solid(&slab((826.0, 412.0), 204.0, 20.0, 6.0), WOOD, 5.0);
}

fn quay(sheet: &mut Sheet) {
    let wall = polygon(&[(0.0, 760.0), (1200.0, 740.0), (1200.0, 900.0), (0.0, 900.0)]);
    let stone = Tone(176.0, 168.0, 150.0);
    sheet.cast(&wall, (0.0, -14.0), 30.0);
    sheet.shade(&wall, (0.0, 740.0), (0.0, 900.0), &[stone.light(), stone, stone.toward(INK, 0.25)]);
    sheet.ink(&wall, 6.0);
    for course in 0..3 {
        let y = 806.0 + course as f32 * 46.0;
        sheet.faint(&line(&[(0.0, y), (1200.0, y - 16.0)]), INK, 3.5, 0.5);
        for joint in 0..9 {
            let x = 70.0 + joint as f32 * 140.0 + (course % 2) as f32 * 70.0;
            sheet.faint(&line(&[(x, y - 2.0), (x + 3.0, y + 40.0)]), INK, 3.0, 0.4);
        }
    }
    for x in [240.0, 1040.0] {
        let cleat = slab((x - 34.0, 726.0), 68.0, 46.0, 14.0);
        sheet.cast(&cleat, (8.0, 10.0), 12.0);
        sheet.solid(&cleat, RUBBER, 5.0);
    }
}
