//! The office page's papers: drafts of invoices, and the pack of a claim.
//!
//! What they are made of the office's worker tells; the papers' worker, which has the
//! letters and no store, sets them, and the page carries one's answers to the other.
//! A pack whose photos are too much for one PDF is made as a page.

use std::rc::Rc;

use leptos::prelude::*;
use quaywright_core::id::EventId;
use quaywright_core::looking::Asked;
use quaywright_core::moment::Day;
use quaywright_desk::wire::{Answer, Ask};
use quaywright_papers::wire::{Answer as Told, Ask as Make, Paper, Photos};

use super::AtOffice;
use crate::desk::sentence;
use crate::platform::office::{Ended, Office};
use crate::platform::papers::Papers;
use crate::platform::prefs;
use crate::platform::share::Ready;

/// What came of a question: something, or why not.
type Done<T> = Result<Result<T, String>, Ended>;

impl AtOffice {
    /// Looks at an address; of a claim the pack is made too.
    pub fn look(self, address: String) {
        let asked = Asked::parse(&address);
        self.work("Looking …", false, false, async move {
            let look = vec![(Ask::Look(address), super::Beside::Bytes(Vec::new()))];
            match (self.ask_all("Looking …", look).await?, asked) {
                (None, Some(Asked::Claim(line))) => Ok(self.pack(line.0).await?.err()),
                (done, _) => Ok(done),
            }
        });
    }

    /// Makes the drafts of invoices of an export, and packs them into one file.
    pub fn make_drafts(self, number: u32, issued: Day) {
        let work = async move { Ok(self.drafts(number, issued).await?.err()) };
        self.work("Working out the drafts …", false, true, work);
    }

    async fn drafts(self, number: u32, issued: Day) -> Done<()> {
        let office = match self.worker().await? {
            Ok(office) => office,
            Err(why) => return Ok(Err(why)),
        };
        let mut drafts = Vec::new();
        office.ask(&Ask::Drafts { number, issued }, &[]);
        if let Some(why) = self.hear(&office, &mut drafts).await? {
            return Ok(Err(why));
        }
        if drafts.is_empty() {
            return Ok(Err("there is nothing of which a draft could be made".to_owned()));
        }
        let papers = self.start_papers().await?;
        let of = drafts.len();
        for (nth, (answer, beside)) in (1..).zip(drafts) {
            let Answer::Draft { page, name } = answer else { continue };
            self.busy.try_set(Some(format!("Draft {nth} of {of} …")));
            papers.ask(&Make::Invoice { issued, page, name: format!("{name}.pdf") }, &beside);
            let Some(pdf) = self.made(&papers, &office).await? else { continue };
            office.ask_with_made(&Ask::PutIn(pdf.name()), &pdf);
            if let Some(why) = self.hear(&office, &mut Vec::new()).await? {
                return Ok(Err(why));
            }
        }
        office.ask(&Ask::PackUp(format!("drafts-{number}.zip")), &[]);
        Ok(self.hear(&office, &mut Vec::new()).await?.map_or(Ok(()), Err))
    }

    /// Makes the pack of a claim and offers it.
    async fn pack(self, of: EventId) -> Done<()> {
        let office = match self.worker().await? {
            Ok(office) => office,
            Err(why) => return Ok(Err(why)),
        };
        self.busy.try_set(Some("Making the pack …".to_owned()));
        let mut lines = Vec::new();
        office.ask(&Ask::Claim(of), &[]);
        if let Some(why) = self.hear(&office, &mut lines).await? {
            return Ok(Err(why));
        }
        let Some((Answer::Claim { line, device, now }, _)) = lines.pop() else { return Err(office.broke_off()) };
        let leaf = prefs::leaf().unwrap_or_default();
        let pdf = Paper::WarrantyPdf(line, leaf);
        for paper in [pdf, pdf.as_page()] {
            let papers = self.start_papers().await?;
            lines.iter().for_each(|(_, run)| papers.ask(&Make::Lines, run));
            papers.ask(&Make::Make { paper, now, device: Some(device), photos: Photos::Whole }, &[]);
            if let Some(pack) = self.made(&papers, &office).await? {
                self.offer(pack, None);
                return Ok(Ok(()));
            }
        }
        Ok(Err("the pack could not be made".to_owned()))
    }

    /// Hears what the papers' worker makes, and gives it each photo that it asks for; nothing
    /// where these are too much.
    async fn made(self, papers: &Papers, office: &Office) -> Result<Option<Ready>, Ended> {
        loop {
            let told = papers.hear().await?;
            match &told.answer {
                Told::Wanted { blob, number, of, .. } => {
                    self.busy.try_set(Some(format!("Photo {number} of {of} …")));
                    let mut photo = Vec::new();
                    office.ask(&Ask::Photo(*blob), &[]);
                    let failed = self.hear(office, &mut photo).await?.is_some();
                    match photo.pop().filter(|_| !failed) {
                        Some((Answer::Photo, bytes)) => papers.ask(&Make::Photo, &bytes),
                        _ => papers.ask(&Make::NoPhoto, &[]),
                    }
                }
                // The office has it in one place only, so what is damaged there is damaged.
                Told::Another(_) => papers.ask(&Make::NoPhoto, &[]),
                Told::Fault(why) => {
                    let why = sentence(why);
                    self.wrong.try_update(|wrong| wrong.push_str(&format!("{why}\n")));
                }
                Told::TooMuch(_) => {
                    let words = "Its photos are too many for one PDF, so it is made as a page.\n";
                    self.said.try_update(|said| said.push_str(words));
                    return Ok(None);
                }
                Told::Made(_) => return Ok(Some(told.document())),
                _ => {}
            }
        }
    }

    /// Starts the papers' worker, in place of an earlier one.
    async fn start_papers(self) -> Result<Rc<Papers>, Ended> {
        let papers = Papers::start()?;
        self.papers.try_update_value(|known| *known = Some(papers.clone())).ok_or(Ended::Stopped)?;
        // The first answer is that one may ask.
        papers.hear().await?;
        Ok(papers)
    }
}
