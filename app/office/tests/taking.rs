//! Taking in: any order, twice, altered, newer, packed, killed, two at once.
#![allow(clippy::expect_used, clippy::panic, reason = "a test stops where it cannot go on")]

mod shop;

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread;
use std::time::Duration;

use quaywright_core::event::{
    About, Activity, Billing, Doing, Event, On, PartFacts, PayType, Recommendation, Reply, StoryPart,
};
use quaywright_core::id::RecommendationId;
use quaywright_core::quantity::Count;
use quaywright_core::text::{Label, Prose};
use shop::{Phone, killed_after, month, office, run, said, took, wrong};

fn written(folder: &Path, files: &[(String, Vec<u8>)]) -> Vec<PathBuf> {
    let write = |(name, bytes): &(String, Vec<u8>)| {
        let path = folder.join(name);
        fs::write(&path, bytes).expect("the file is written");
        path
    };
    files.iter().map(write).collect()
}

fn words(paths: &[PathBuf]) -> Vec<&str> {
    paths.iter().map(|path| path.to_str().expect("a plain path")).collect()
}

/// Returns all that a store says of days: the text and the table.
fn days(store: &Path) -> (String, Vec<u8>) {
    let csv = store.with_extension("csv");
    let output = run("day", store, &["--csv", csv.to_str().expect("a plain path")]);
    (said(&output, 0), fs::read(csv).expect("a table"))
}

#[test]
fn any_order_and_twice_come_to_the_same_and_change_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let inbox = folder.path().join("inbox");
    fs::create_dir(&inbox).expect("a folder");
    let (_, mut files) = month(1, "M. Sluice");
    files.extend(month(2, "R. Thwart").1);
    let paths = written(&inbox, &files);
    let [one, other] = ["one.quay", "other.quay"].map(|name| folder.path().join(name));
    let first = said(&run("take-in", &one, &words(&paths)), 0);
    // Each technician: the name, and 20 days of 10 records.
    assert_eq!(first, "40 files taken in, 0 known already; new: 402 records, 0 photos\n");
    let before = fs::read(&one).expect("the store");
    let again = said(&run("take-in", &one, &words(&paths)), 0);
    assert_eq!(again, "0 files taken in, 40 known already; new: 0 records, 0 photos\n");
    assert!(fs::read(&one).expect("the store") == before, "the same bytes again change nothing");
    // Backwards, some twice, one by one, then the folder.
    for path in paths.iter().rev().chain(&paths[3..6]) {
        said(&run("take-in", &other, &words(std::slice::from_ref(path))), 0);
    }
    assert!(said(&run("take-in", &other, &words(&[inbox])), 0).starts_with("0 files taken in, 40 known"));
    assert_eq!(days(&one), days(&other));
}

#[test]
fn a_packed_folder_is_taken_in_like_its_files() {
    let folder = tempfile::tempdir().expect("a folder");
    let (_, files) = month(1, "M. Sluice");
    let packed = folder.path().join("may.zip");
    let mut archive = zip::ZipWriter::new(fs::File::create(&packed).expect("a file"));
    for (name, bytes) in &files {
        archive.start_file(format!("../{name}"), zip::write::SimpleFileOptions::default()).expect("an entry");
        archive.write_all(bytes).expect("its bytes");
    }
    archive.finish().expect("an archive");
    let [packed_in, plain_in] = ["packed.quay", "plain.quay"].map(|name| folder.path().join(name));
    assert!(said(&run("take-in", &packed_in, &words(&[packed])), 0).starts_with("20 files taken in"));
    said(&run("take-in", &plain_in, &words(&written(folder.path(), &files))), 0);
    assert_eq!(days(&packed_in), days(&plain_in));
    assert!(!folder.path().parent().expect("a parent").join(&files[0].0).exists(), "nothing is unpacked to the disk");
}

#[test]
fn an_altered_file_is_refused_by_record_and_stops_no_other() {
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("shop.quay");
    let (_, mut files) = month(1, "M. Sluice");
    files.truncate(2);
    let clean = String::from_utf8(files[1].1.clone()).expect("a page");
    // Its times are made an hour later in the records.
    let altered = clean.replacen("2026-05-05T08:30:00", "2026-05-05T09:30:00", 1);
    assert_ne!(altered, clean);
    files.push(("altered.html".to_owned(), altered.into_bytes()));
    let paths = written(folder.path(), &files);
    let output = run("take-in", &store, &words(&[paths[2].clone(), paths[0].clone()]));
    assert!(said(&output, 1).starts_with("2 files taken in"));
    let told = wrong(&output);
    assert!(told.contains("altered.html: entry 16: record 0101010101010101-16 was not taken: altered"), "{told}");
    // Once more it tells the same; the true file brings what was missing.
    assert_eq!(wrong(&run("take-in", &store, &words(&paths[2..]))), told);
    assert!(said(&run("take-in", &store, &words(&paths[1..2])), 0).contains("new: 1 record,"));
    let clean = folder.path().join("clean.quay");
    said(&run("take-in", &clean, &words(&paths[..2])), 0);
    assert_eq!(days(&store), days(&clean));
}

#[test]
fn a_newer_file_is_set_aside_and_a_foreign_one_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("shop.quay");
    let broken = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/formats/broken");
    let (_, files) = month(1, "M. Sluice");
    let mut paths = vec![broken.join("newer-day.html"), broken.join("foreign.txt"), folder.path().join("missing")];
    paths.extend(written(folder.path(), &files[..1]));
    let newer = fs::read(&paths[0]).expect("the file");
    for known in [0, 1] {
        let output = run("take-in", &store, &words(&paths));
        let expected = format!(
            "{} taken in, {known} known already, 1 set aside for a newer program, 2 not taken",
            ["1 file", "0 files"][known]
        );
        assert!(said(&output, 1).starts_with(&expected));
        for told in
            ["newer-day.html: written by a newer Quaywright", "foreign.txt: this is no file", "missing: cannot be read"]
        {
            assert!(wrong(&output).contains(told), "{}", wrong(&output));
        }
    }
    assert_eq!(fs::read(&paths[0]).expect("the file"), newer, "the file itself is left alone");
    assert_eq!(run("take-in", &store, &words(&paths[1..2])).status.code(), Some(2), "nothing could be used");
}

#[test]
fn a_technician_with_two_phones_has_one_book_and_a_clock_wrong_by_an_hour_shows() {
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("shop.quay");
    let (mut first, mut second) = (Phone::of(1, "M. Sluice"), Phone::of(2, "M. Sluice"));
    let (_, line) = first.job("2026-05-04T08:00", "Heron", "Towpath Trust", "Pump", PayType::CustomerPay);
    first.does("2026-05-04T08:00", Activity::Labour, line);
    first.stops("2026-05-04T10:00");
    // The other phone's clock is an hour behind: what began at 10 is said at 9.
    let (_, line) = second.job("2026-05-04T09:00", "Coot", "Ferry Board", "Gland", PayType::CustomerPay);
    second.does("2026-05-04T09:00", Activity::Labour, line);
    second.stops("2026-05-04T10:30");
    let files = [("first.jsonl".to_owned(), first.log_file()), ("second.jsonl".to_owned(), second.log_file())];
    said(&run("take-in", &store, &words(&written(folder.path(), &files))), 0);
    let output = run("day", &store, &[]);
    let text = said(&output, 1);
    // One technician does one thing at a time: no minute counts twice. That the two do not agree is asked.
    let asked = "M. Sluice: 2026-05-04: two phones ran from 09:00 to 10:00, 0101010101010101 for Heron, Pump and \
        0202020202020202 for Coot, Gland; is the clock of 0202020202020202 an hour behind? \
        Ask the technician to mend the day\n";
    assert_eq!(wrong(&output), asked);
    assert_eq!(text.matches("Monday 4 May").count(), 1, "{text}");
    assert!(text.contains("worked 2:00"), "{text}");
}

#[test]
fn a_corrected_day_supersedes_and_says_what_changed() {
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("shop.quay");
    let (mut phone, files) = month(1, "M. Sluice");
    let nothing = Doing::At { activity: Activity::Paperwork, on: On::NoJob };
    phone.mends("2026-05-30T09:00", "2026-05-05T15:00", "2026-05-05T16:00", nothing);
    let corrected = ("corrected.html".to_owned(), phone.day_file("2026-05-05"));
    let paths = written(folder.path(), &[files, vec![corrected]].concat());
    assert!(!said(&run("take-in", &store, &words(&paths[..20])), 0).contains("changed"));
    let told = said(&run("take-in", &store, &words(&paths[20..])), 0);
    let expected = [
        "changed: M. Sluice, 2026-05-05: no job: paperwork 0:00 is now 1:00",
        "changed: M. Sluice, 2026-05-05: Barge 1 of M. Sluice, Pump leaks: labour 7:00 is now 6:00",
    ];
    for line in expected {
        assert!(told.contains(line), "{told}");
    }
    assert_eq!(told.matches("changed:").count(), 2, "{told}");
}

/// Takes in what a phone hands over now, as one file, and returns what changed.
#[track_caller]
fn changed(store: &Path, folder: &Path, phone: &Phone) -> Vec<String> {
    let file = [("log.jsonl".to_owned(), phone.log_file())];
    let told = said(&run("take-in", store, &words(&written(folder, &file))), 0);
    told.lines().filter_map(|line| line.strip_prefix("changed: ")).map(str::to_owned).collect()
}

fn note(text: &str, about: About) -> Event {
    Event::NoteWritten { about, text: Prose::new(text) }
}

#[test]
fn what_else_is_another_on_a_known_day_is_told_in_one_line_for_each_job() {
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("shop.quay");
    let mut phone = Phone::of(1, "M. Sluice");
    let (job, line) = phone.job("2026-05-04T08:00", "Heron", "Towpath Trust", "Pump weeps", PayType::CustomerPay);
    phone.does("2026-05-04T08:00", Activity::Labour, line);
    let cause = |text: &str| Event::StoryTold { line, part: StoryPart::Cause, text: Prose::new(text) };
    phone.say("2026-05-04T09:00", cause("Seal is hard"));
    let part = PartFacts { what: Label::new("seal"), number: Label::new("S-2"), count: Count(1) };
    let seal = phone.say("2026-05-04T09:30", Event::PartUsed { job, part });
    phone.stops("2026-05-04T12:00");
    phone.say("2026-05-04T12:01", Event::JobFinished { job });
    assert_eq!(changed(&store, folder.path(), &phone), [""; 0], "a day that is new is no change");
    // More of the same day, after its file left.
    phone.say("2026-05-04T18:00", note("Owner wants the old seal", About::Job(job)));
    phone.say("2026-05-04T18:01", note("Van needs oil", About::Day));
    assert_eq!(
        changed(&store, folder.path(), &phone),
        [
            "M. Sluice, 2026-05-04: the day: note 18:01 \"Van needs oil\" added",
            "M. Sluice, 2026-05-04: Heron, Pump weeps: note 18:00 \"Owner wants the old seal\" added",
        ]
    );
    // Said days later of that day: who pays, how it is billed, what was used, what was wrong.
    let later = "2026-05-07T08:00";
    phone.say(later, Event::PayTypeSet { line, pay: PayType::Warranty });
    phone.say(later, Event::LineBilled { line, billing: Billing::Flat { minutes: 90 } });
    phone.say(later, Event::Withdrawn { event: seal });
    phone.say(later, cause("Shaft is scored"));
    let one = "M. Sluice, 2026-05-04: Heron, Pump weeps: customer pay is now warranty; billed by the clock is now \
        billed 1:30 flat; cause is now \"Shaft is scored\", before it \"Seal is hard\"; part 1 × seal, no. S-2 taken away";
    assert_eq!(changed(&store, folder.path(), &phone), [one]);
    assert_eq!(changed(&store, folder.path(), &phone), [""; 0], "it is told once");
}

#[test]
fn what_is_taken_back_of_a_known_job_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("shop.quay");
    let mut phone = Phone::of(1, "M. Sluice");
    let (job, line) = phone.job("2026-05-04T08:00", "Heron", "Towpath Trust", "Pump weeps", PayType::CustomerPay);
    phone.does("2026-05-04T08:00", Activity::Labour, line);
    let complaint = Prose::new("Drips");
    let other = phone.say("2026-05-04T08:30", Event::LineAdded { job, pay: PayType::Internal, complaint });
    let (what, why) = (Label::new("New hose"), Prose::default());
    let recommendation = Box::new(Recommendation { what, why, cost: None });
    let hose = phone.say("2026-05-04T09:00", Event::Recommended { job, recommendation });
    phone.stops("2026-05-04T12:00");
    assert_eq!(changed(&store, folder.path(), &phone), [""; 0]);
    // What the owner says to it is no news of the day.
    let (recommendation, reply) = (RecommendationId(hose), Reply::Declined);
    phone.say("2026-05-05T08:00", Event::RecommendationAnswered { recommendation, reply });
    assert_eq!(changed(&store, folder.path(), &phone), [""; 0]);
    phone.say("2026-05-05T09:00", Event::Withdrawn { event: other });
    phone.say("2026-05-05T09:00", Event::Withdrawn { event: hose });
    let told = changed(&store, folder.path(), &phone);
    let [told] = &told[..] else { panic!("{told:?}") };
    let line = "M. Sluice, 2026-05-04: Heron, Pump weeps: line 2: this line, internal, taken away; of what was agreed, \
        taken away: ";
    assert!(told.starts_with(line) && told.contains("New hose"), "{told}");
}

#[test]
fn that_work_goes_on_is_no_change() {
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("shop.quay");
    let mut phone = Phone::of(1, "M. Sluice");
    let (job, line) = phone.job("2026-05-04T08:00", "Heron", "Towpath Trust", "Pump weeps", PayType::CustomerPay);
    let story = |part, text: &str| Event::StoryTold { line, part, text: Prose::new(text) };
    for (nth, day) in ["2026-05-04", "2026-05-05", "2026-05-06"].into_iter().enumerate() {
        let at = |time: &str| format!("{day}T{time}");
        phone.does(&at("08:00"), Activity::Labour, line);
        phone.uses(&at("09:00"), job, "seal", "S-2", 1);
        // A story that is told, goes on, and is put otherwise while the job is open.
        phone.say(&at("09:10"), story(StoryPart::Cause, ["", "Seal", "Seal is hard"][nth]));
        phone.say(&at("09:10"), story(StoryPart::Correction, ["Looked", "New seal", "New seal. Holds"][nth]));
        phone.say(&at("09:20"), note("Ask for the key", About::Job(job)));
        let complaint = Prose::new("Drips");
        phone.say(&at("09:30"), Event::LineAdded { job, pay: PayType::Internal, complaint });
        phone.stops(&at("12:00"));
        assert_eq!(changed(&store, folder.path(), &phone), [""; 0], "{day}");
    }
    phone.say("2026-05-07T08:00", Event::PayTypeSet { line, pay: PayType::Internal });
    let told = changed(&store, folder.path(), &phone);
    assert_eq!(told, ["M. Sluice, 2026-05-06: Heron, Pump weeps: line 1: customer pay is now internal"], "once");
}

#[test]
fn what_two_say_of_one_job_is_told_by_one_of_them() {
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("shop.quay");
    let (mut first, mut second) = (Phone::of(1, "M. Sluice"), Phone::of(2, "R. Thwart"));
    let (job, line) = first.job("2026-05-04T08:00", "Heron", "Towpath Trust", "Pump weeps", PayType::CustomerPay);
    first.does("2026-05-04T08:00", Activity::Labour, line);
    first.stops("2026-05-04T10:00");
    second.takes_on(&first, job);
    second.does("2026-05-04T11:00", Activity::Labour, line);
    second.stops("2026-05-04T12:00");
    assert_eq!(changed(&store, folder.path(), &first), [""; 0]);
    assert_eq!(changed(&store, folder.path(), &second), [""; 0]);
    second.say("2026-05-04T18:00", note("Old seal is in the van", About::Job(job)));
    second.say("2026-05-05T08:00", Event::PayTypeSet { line, pay: PayType::Warranty });
    let told = changed(&store, folder.path(), &second);
    assert_eq!(
        told,
        [
            "M. Sluice, 2026-05-04: Heron, Pump weeps: customer pay is now warranty",
            "R. Thwart, 2026-05-04: Heron, Pump weeps: note 18:00 \"Old seal is in the van\" added",
        ]
    );
}

#[test]
fn killed_at_any_moment_and_run_again_it_comes_to_the_same() {
    let folder = tempfile::tempdir().expect("a folder");
    let inbox = folder.path().join("inbox");
    fs::create_dir(&inbox).expect("a folder");
    for device in 1..4 {
        written(&inbox, &month(device, &format!("Technician {device}")).1);
    }
    let inbox = [inbox];
    let clean = folder.path().join("clean.quay");
    // Kills go by how long it takes here, since a fast machine would be done before any fixed time.
    let (_, whole) = took(|| said(&run("take-in", &clean, &words(&inbox)), 0));
    let expected = days(&clean);
    let mut cut_short = 0;
    for nth in 0..4 {
        let store = folder.path().join(format!("killed-{nth}.quay"));
        // Killed again and again, each time a little later.
        for fortieths in (0..4).map(|round| 1 + nth * 2 + round * 9) {
            let mut command = office();
            command.args(["take-in", "--store"]).arg(&store).args(&inbox).stdout(Stdio::null()).stderr(Stdio::null());
            if !killed_after(command.spawn().expect("the command runs"), whole * fortieths / 40) {
                break;
            }
            cut_short += 1;
        }
        said(&run("take-in", &store, &words(&inbox)), 0);
        assert_eq!(days(&store), expected, "killed {nth}");
    }
    assert!(cut_short > 3, "{cut_short} runs were cut short");
}

#[test]
fn two_that_take_in_the_same_files_at_once_come_to_the_same() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut paths = Vec::new();
    for device in 1..5 {
        paths.extend(written(folder.path(), &month(device, &format!("Technician {device}")).1));
    }
    let backwards: Vec<PathBuf> = paths.iter().rev().cloned().collect();
    let store = folder.path().join("both.quay");
    let both = [&paths, &backwards].map(|paths| {
        let mut command = office();
        command.args(["take-in", "--store"]).arg(&store).args(paths).stdout(Stdio::piped()).stderr(Stdio::piped());
        command.spawn().expect("the command runs")
    });
    for running in both {
        said(&running.wait_with_output().expect("it ends"), 0);
    }
    let clean = folder.path().join("clean.quay");
    said(&run("take-in", &clean, &words(&paths)), 0);
    assert_eq!(days(&store), days(&clean));
}

#[cfg(unix)]
#[test]
fn a_pipe_that_is_named_is_refused_and_stops_no_other() {
    let folder = tempfile::tempdir().expect("a folder");
    let store = folder.path().join("shop.quay");
    let pipe = folder.path().join("pipe");
    assert!(Command::new("mkfifo").arg(&pipe).status().expect("it is started").success());
    let mut paths = vec![pipe];
    paths.extend(written(folder.path(), &month(1, "M. Sluice").1[..1]));
    let mut command = office();
    command.args(["take-in", "--store"]).arg(&store).args(&paths).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut running = command.spawn().expect("the command runs");
    // Nobody writes to it: one that waits for that waits for ever.
    let is_done = (0..600).any(|_| {
        thread::sleep(Duration::from_millis(50));
        running.try_wait().expect("its state").is_some()
    });
    if !is_done {
        running.kill().expect("it is ended");
    }
    let output = running.wait_with_output().expect("it ends");
    assert!(is_done, "it waits");
    assert!(said(&output, 1).starts_with("1 file taken in, 0 known already, 1 not taken"));
    assert!(wrong(&output).contains("pipe: is a pipe or a device, and no file"), "{}", wrong(&output));
}

#[test]
fn what_is_meant_to_harm_is_named_and_stops_no_other() {
    let folder = tempfile::tempdir().expect("a folder");
    let inbox = folder.path().join("inbox");
    fs::create_dir(&inbox).expect("a folder");
    let (_, files) = month(1, "M. Sluice");
    written(&inbox, &files[..1]);
    // 300 MB of nothing in a few hundred kB, and a name that would lead out of the folder.
    let mut archive = zip::ZipWriter::new(fs::File::create(inbox.join("bomb.zip")).expect("a file"));
    archive.start_file("../../../etc/day.html", zip::write::SimpleFileOptions::default()).expect("an entry");
    let nothing = vec![0; 1 << 20];
    (0..300).for_each(|_| archive.write_all(&nothing).expect("its bytes"));
    archive.start_file("day.html", zip::write::SimpleFileOptions::default()).expect("an entry");
    archive.write_all(&files[1].1).expect("its bytes");
    archive.finish().expect("an archive");
    assert!(fs::metadata(inbox.join("bomb.zip")).expect("its size").len() < 1 << 20);
    // A PDF whose pages and streams are each other.
    let loops = "%PDF-1.7\n1 0 obj <</Type /Pages /Kids [1 0 R] /Parent 1 0 R>> endobj\n\
        2 0 obj <</Type /EmbeddedFile /Length 3 0 R /Filter [/FlateDecode /FlateDecode]>> stream\nx\nendstream endobj\n\
        3 0 obj 3 0 R endobj\ntrailer <</Root 1 0 R /Prev 9 /Size 4>>\nstartxref\n9\n%%EOF\n";
    fs::write(inbox.join("loops.pdf"), loops).expect("the file is written");
    fs::File::create(inbox.join("huge.html")).expect("a file").set_len(2 << 30).expect("its length");
    fs::write(inbox.join("deep.json"), "[".repeat(1 << 20)).expect("the file is written");
    let store = folder.path().join("shop.quay");
    let output = run("take-in", &store, &words(std::slice::from_ref(&inbox)));
    assert!(said(&output, 1).starts_with("2 files taken in, 0 known already, 4 not taken; new: "));
    let told = wrong(&output);
    for words in [
        "bomb.zip: ../../../etc/day.html: larger than 256 MB and so no day file",
        "loops.pdf: this day file is cut off or damaged",
        "huge.html: larger than 256 MB",
        "deep.json: this is",
    ] {
        assert!(told.contains(words), "{words} is not in:\n{told}");
    }
}
