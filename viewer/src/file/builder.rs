//! The thread that reads the design file and builds what is shown, so that the window never waits.

use std::cell::Cell;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::time::{Duration, Instant};

use design::Design;

use crate::file::guard::guarded;
use crate::file::news::{Built, Fitted, News};
use crate::file::order::Order;
use crate::file::problems::located;
use crate::file::readings::Readings;
use crate::file::source::Source;
use crate::file::written::over;
use crate::model::shown::{Layers, Shown, Wish};

/// How often the file is looked at: quicker than a hand goes from the keyboard to the eye.
const LOOK: Duration = Duration::from_millis(40);

/// The window's end of the thread; it ends when this is dropped.
pub(crate) struct Builder {
    orders: Sender<Order>,
    news: Receiver<News>,
    /// News that came while it was waited for.
    came: Option<News>,
    /// How many orders were sent, and how many were done when the thread last had nothing to do.
    sent: Cell<u64>,
    done: Arc<AtomicU64>,
}

impl Builder {
    /// Starts the thread, which looks at the design and at a measured file where there is one.
    pub(crate) fn start(path: &Path, measured: Option<&Path>, wish: Wish) -> Builder {
        let (worker, builder) = Worker::new(path, measured, wish);
        std::thread::spawn(move || worker.run());
        builder
    }

    /// Asks for something; of wishes and of texts only the last counts.
    pub(crate) fn order(&self, order: Order) {
        // The thread lives as long as this; should it be gone, the blade shown stays.
        let _ = self.orders.send(order);
        self.sent.set(self.sent.get() + 1);
    }

    /// What has come since the last time.
    pub(crate) fn news(&mut self) -> impl Iterator<Item = News> + '_ {
        self.came.take().into_iter().chain(self.news.try_iter())
    }

    /// Waits for news, but no longer than this.
    pub(crate) fn wait(&mut self, most: Duration) {
        match self.news.recv_timeout(most) {
            Ok(news) => self.came = Some(news),
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => std::thread::sleep(most),
        }
    }

    /// Whether the thread has done all that it was asked for. What it told of that may still wait.
    pub(crate) fn is_idle(&self) -> bool {
        self.done.load(Ordering::Acquire) == self.sent.get()
    }
}

struct Worker {
    source: Source,
    readings: Option<Readings>,
    wish: Wish,
    /// Whether the wish is newer than what was built.
    pending: bool,
    /// The text in the smith's hand with its number, once there is one: then the blade goes by it and not by the file.
    hand: Option<Held>,
    design: Option<Arc<Design>>,
    /// The text that the design was read from, and its number if it is the hand's.
    text: String,
    number: Option<u64>,
    /// Whether the design's warnings are still to be looked for: they take as long as its reading.
    unwarned: bool,
    /// The last picture of the layers.
    layers: Option<Layers>,
    wanted: Receiver<Order>,
    told: Sender<News>,
    /// How many orders were taken, and where the window reads how many were done.
    taken: u64,
    done: Arc<AtomicU64>,
}

/// A text in the smith's hand.
struct Held {
    number: u64,
    text: String,
    /// Whether it was read since it came.
    is_read: bool,
}

/// The window is closed.
struct Closed;

impl Worker {
    /// One that has not begun, and the window's end of it.
    fn new(path: &Path, measured: Option<&Path>, wish: Wish) -> (Worker, Builder) {
        let (orders, wanted) = mpsc::channel();
        let (told, news) = mpsc::channel();
        // No number of orders, until the files were looked at.
        let done = Arc::new(AtomicU64::new(u64::MAX));
        let worker = Worker {
            source: Source::new(path),
            readings: measured.map(Readings::new),
            wish,
            pending: false,
            hand: None,
            design: None,
            text: String::new(),
            number: None,
            unwarned: false,
            layers: None,
            wanted,
            told,
            taken: 0,
            done: Arc::clone(&done),
        };
        (worker, Builder { orders, news, came: None, sent: Cell::new(0), done })
    }

    fn run(mut self) {
        // It ends by the window's closing.
        while self.turn().is_ok() {}
    }

    /// Looks at the files and the wishes once, and builds what is new.
    fn turn(&mut self) -> Result<(), Closed> {
        let begun = Instant::now();
        let read = self.read()?;
        let (compared, complaint) = self.compare(read);
        self.hear()?;
        if read || compared || (self.pending && self.design.is_some()) {
            self.pending = false;
            self.build(read || compared, begun)?;
            // After the blade, which clears what was told before.
            return complaint.map_or(Ok(()), |news| self.tell(news));
        }
        if self.has_unread() {
            return Ok(());
        }
        self.done.store(self.taken, Ordering::Release);
        match self.wanted.recv_timeout(LOOK) {
            Ok(order) => self.take(order)?,
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => return Err(Closed),
        }
        Ok(())
    }

    /// Takes an order.
    fn take(&mut self, order: Order) -> Result<(), Closed> {
        self.taken += 1;
        match order {
            Order::Wish(wish) => (self.wish, self.pending) = (wish, true),
            Order::Text { number, text } => self.hand = Some(Held { number, text, is_read: false }),
            Order::Fit => {
                let fitted = guarded(|| fitted(&self.text)).and_then(|fitted| fitted);
                self.tell(News::Fitted(fitted))?;
            }
            Order::Measure => self.measure()?,
            Order::Note(noted) => self.write_reading(|readings, design| readings.note(design, &noted))?,
            Order::TakeBack => self.write_reading(Readings::take_back)?,
            Order::Save { text, over: known } => {
                let news = match over(self.source.path(), &text, &known) {
                    Ok(true) => {
                        self.source.knows(text.as_bytes());
                        News::Saved(text)
                    }
                    Ok(false) => News::Unsaved(None),
                    Err(why) => News::Unsaved(Some(why.to_string())),
                };
                self.tell(news)?;
            }
        }
        Ok(())
    }

    /// Looks at the measured file: where none was named, that of the design's name beside it.
    fn measure(&mut self) -> Result<(), Closed> {
        let Some(design) = &self.design else { return Ok(()) };
        let beside = || self.source.path().with_file_name(format!("{}-measured.csv", design.slug()));
        let readings = self.readings.get_or_insert_with(|| Readings::begun(&beside()));
        let name = readings.name.clone();
        self.tell(News::Measuring(name))
    }

    /// Writes into the measured file, and tells what came of it.
    fn write_reading(
        &mut self,
        write: impl FnOnce(&mut Readings, &Design) -> Result<(), String>,
    ) -> Result<(), Closed> {
        let Some((readings, design)) = self.readings.as_mut().zip(self.design.as_ref()) else {
            let refused = Some("there is no blade to measure yet".to_owned());
            return self.tell(News::Noted { rows: Vec::new(), refused });
        };
        let refused = guarded(|| write(readings, design)).and_then(|done| done).err();
        let rows = readings.rows().to_vec();
        self.tell(News::Noted { rows, refused })
    }

    /// Reads the text in hand or the file, whichever is new; whether there is a new sound design.
    fn read(&mut self) -> Result<bool, Closed> {
        let file = self.source.changed().cloned();
        if let Some(Ok(bytes)) = &file
            && let Ok(text) = std::str::from_utf8(bytes)
        {
            self.tell(News::File(text.to_owned()))?;
        }
        if let Some(held) = self.hand.as_mut().filter(|held| !held.is_read) {
            held.is_read = true;
            let (number, text) = (held.number, held.text.clone());
            return self.judge(text.as_bytes(), Some(number));
        }
        match file {
            None => Ok(false),
            Some(Err(why)) => self.tell(News::Unreadable(why)).map(|()| false),
            // What is in hand stays shown; that the file is no design is told all the same, and that it is one again.
            Some(Ok(bytes)) if self.hand.is_some() => match guarded(|| design::read_candidate(&bytes)) {
                Ok(read) => {
                    let problems = read.err().unwrap_or_default();
                    self.tell(News::Problems(located(&bytes, &problems))).map(|()| false)
                }
                Err(_) => Ok(false),
            },
            Some(Ok(bytes)) => self.judge(&bytes, None),
        }
    }

    /// Reads a design; whether it is sound.
    fn judge(&mut self, bytes: &[u8], number: Option<u64>) -> Result<bool, Closed> {
        let news = match guarded(|| design::read_candidate(bytes)) {
            Ok(Ok(design)) => {
                self.design = Some(Arc::new(design));
                self.text = String::from_utf8_lossy(bytes).into_owned();
                self.number = number;
                self.unwarned = true;
                return Ok(true);
            }
            Ok(Err(problems)) => match number {
                Some(number) => News::Refused { number, problems: located(bytes, &problems) },
                None => News::Problems(located(bytes, &problems)),
            },
            Err(why) => News::Fault(why),
        };
        self.tell(news)?;
        Ok(false)
    }

    /// Compares the measured file with the design where either is new; whether it was, and what to tell of it.
    fn compare(&mut self, read: bool) -> (bool, Option<News>) {
        let (Some(readings), Some(design)) = (&mut self.readings, &self.design) else { return (false, None) };
        // The file is looked at in any case, so that the next change is seen.
        if !(readings.changed() || read) {
            return (false, None);
        }
        (true, readings.compare(design))
    }

    /// Takes the orders that wait.
    fn hear(&mut self) -> Result<(), Closed> {
        loop {
            match self.wanted.try_recv() {
                Ok(order) => self.take(order)?,
                Err(mpsc::TryRecvError::Empty) => return Ok(()),
                Err(mpsc::TryRecvError::Disconnected) => return Err(Closed),
            }
        }
    }

    fn tell(&self, news: News) -> Result<(), Closed> {
        self.told.send(news).map_err(|_| Closed)
    }

    /// Builds the blade, and then its layers, as long as nothing else is wished for.
    fn build(&mut self, read: bool, begun: Instant) -> Result<(), Closed> {
        let Some(design) = self.design.clone() else { return Ok(()) };
        let (wish, earlier) = (self.wish, self.layers.as_ref());
        let grinding = self.readings.as_ref().and_then(|r| r.grinding.clone());
        // Not the number of the text in hand: a newer one may have come, and it may be no blade.
        let number = self.number.filter(|_| read);
        let made = guarded(|| {
            let shown = Shown::new(&design, grinding.as_ref(), wish)?.with_text(&self.text, wish.hand);
            let coated = shown.coated(earlier);
            Ok::<_, String>((shown, coated))
        });
        match made.and_then(|m| m) {
            Ok((shown, coated)) => {
                let kept = shown.clone();
                let built = Built { read, number, took: begun.elapsed() };
                self.tell(News::Shown { shown: Box::new(shown), coated, built })?;
                self.warn()?;
                self.build_layers(&kept)
            }
            Err(why) => self.tell(News::Fault(why)),
        }
    }

    /// Whether something newer is wished for than what is being built.
    fn is_overtaken(&mut self) -> Result<bool, Closed> {
        self.hear()?;
        Ok(self.pending || self.has_unread())
    }

    /// Whether there is a text in hand that was not read yet.
    fn has_unread(&self) -> bool {
        self.hand.as_ref().is_some_and(|held| !held.is_read)
    }

    /// Tells the warnings of a blade that is shown already.
    fn warn(&mut self) -> Result<(), Closed> {
        if !self.unwarned || self.is_overtaken()? {
            return Ok(());
        }
        self.unwarned = false;
        match guarded(|| design::read(self.text.as_bytes())) {
            Ok(Ok(design)) => {
                self.tell(News::Warnings(design.warnings().iter().map(|w| w.message.clone()).collect()))
            }
            // It was read as a design just now, so only a fault of ours can have come between.
            Ok(Err(_)) => Ok(()),
            Err(why) => self.tell(News::Fault(why)),
        }
    }

    /// Builds the layers on a blade, coarse and then fine.
    fn build_layers(&mut self, shown: &Shown) -> Result<(), Closed> {
        for fine in [false, true] {
            if self.is_overtaken()? {
                return Ok(());
            }
            match guarded(|| shown.layers(fine)) {
                Ok(Some(layers)) => {
                    self.tell(News::Coat(shown.wrapped(&layers)))?;
                    self.layers = Some(layers);
                }
                Ok(None) => return Ok(()),
                Err(why) => return self.tell(News::Fault(why)),
            }
        }
        Ok(())
    }
}

/// A text fitted to its targets, or why it can't be.
fn fitted(text: &str) -> Result<Fitted, String> {
    let found = fit::fit(text.as_bytes()).map_err(|why| match why.help() {
        Some(help) => format!("{why}; {help}"),
        None => why.to_string(),
    })?;
    let design = design::read(text.as_bytes()).map_err(|_| "the design has problems".to_owned())?;
    Ok(Fitted { words: found.text(&design), texts: [text.to_owned(), found.file] })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::settings::Ground;
    use blade::Stage;
    use look::Colour;

    const WISH: Wish =
        Wish { ground: Ground::Stage(Stage::Finished), colour: None, parted: false, hand: false };

    fn profile(name: &str) -> Vec<u8> {
        fixtures::profiles::named(name).text.into_bytes()
    }

    fn next(builder: &Builder) -> News {
        // Long enough for any machine: what is waited for always comes.
        builder.news.recv_timeout(Duration::from_secs(60)).unwrap()
    }

    #[test]
    fn a_saved_file_is_shown_and_a_broken_one_told() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("blade.toml");
        let good = profile("landing-seax");
        let builder = Builder::start(&path, None, WISH);
        assert!(matches!(next(&builder), News::Unreadable(_)));
        std::fs::write(&path, &good).unwrap();
        // A reader may meet a file half written: then its problems are told first.
        let shown = std::iter::repeat_with(|| next(&builder)).find_map(|n| match n {
            News::Shown { shown, built, .. } => Some((shown, built)),
            _ => None,
        });
        let (shown, built) = shown.unwrap();
        assert!(built.read && shown.triangles() > 100);
        assert_eq!(shown.colour, Colour::Bars);
        std::fs::write(&path, "name = 3\n").unwrap();
        let told = std::iter::repeat_with(|| next(&builder)).find_map(|n| match n {
            News::Problems(told) if told.iter().any(|t| t.line == 1) => Some(told),
            _ => None,
        });
        assert!(!told.unwrap().is_empty());
        // The last good blade can still be shown otherwise.
        let wish =
            Wish { ground: Ground::Share(0.5), colour: Some(Colour::Layers), parted: true, hand: false };
        builder.order(Order::Wish(wish));
        let again = std::iter::repeat_with(|| next(&builder)).find_map(|n| match n {
            News::Shown { shown, built, .. } if !built.read => Some(shown),
            _ => None,
        });
        assert_eq!(again.unwrap().ground, Ground::Share(0.5));
        assert!(matches!(next(&builder), News::Coat(c) if c.picture.is_some()));
    }

    #[test]
    fn a_text_that_comes_while_one_is_read_is_not_taken_for_the_one_read() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("blade.toml");
        std::fs::write(&path, profile("landing-seax")).unwrap();
        let (mut worker, mut builder) = Worker::new(&path, None, WISH);
        let text = |text: &[u8]| String::from_utf8(text.to_vec()).unwrap();
        let send = |number, text| builder.order(Order::Text { number, text });
        assert!(worker.turn().is_ok());
        send(1, text(&profile("landing-seax")));
        // Read in the next turn, whose orders are heard after the reading.
        assert!(worker.hear().is_ok());
        send(2, "name = 3\n".to_owned());
        assert!(worker.turn().is_ok() && worker.turn().is_ok());
        let answers: Vec<(u64, bool)> = builder
            .news()
            .filter_map(|news| match news {
                News::Shown { built, .. } => built.number.map(|number| (number, true)),
                News::Refused { number, .. } => Some((number, false)),
                _ => None,
            })
            .collect();
        assert_eq!(answers, [(1, true), (2, false)]);
    }

    #[test]
    fn a_file_that_is_whole_again_beside_a_text_in_hand_has_no_problems_left() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("blade.toml");
        let whole = profile("landing-seax");
        std::fs::write(&path, &whole).unwrap();
        let (mut worker, mut builder) = Worker::new(&path, None, WISH);
        builder.order(Order::Text { number: 1, text: String::from_utf8(whole.clone()).unwrap() });
        assert!(worker.turn().is_ok() && worker.turn().is_ok());
        builder.news().for_each(drop);
        let mut problems = |bytes: &[u8]| {
            std::fs::write(&path, bytes).unwrap();
            assert!(worker.turn().is_ok());
            let told = builder.news().filter_map(|news| match news {
                News::Problems(problems) => Some(problems.len()),
                _ => None,
            });
            told.collect::<Vec<_>>()
        };
        // Another program empties a file before it writes it anew.
        assert_eq!(problems(b""), [3]);
        assert_eq!(problems(&whole), [0]);
    }

    #[test]
    fn a_measured_file_is_compared_and_its_faults_told() {
        let room = tempfile::tempdir().unwrap();
        let [path, measured] = ["blade.toml", "bench.csv"].map(|name| room.path().join(name));
        std::fs::write(&path, profile("landing-seax")).unwrap();
        let table =
            |back: &str| format!("date,station,what,measured\n2026-05-01,50,back,{back}\n,200,back,6\n");
        std::fs::write(&measured, table("7")).unwrap();
        let builder = Builder::start(&path, Some(&measured), WISH);
        let shown = std::iter::repeat_with(|| next(&builder)).find_map(|n| match n {
            News::Shown { shown, coated, .. } => Some((shown, coated)),
            _ => None,
        });
        let (shown, coated) = shown.unwrap();
        assert_eq!(shown.colour, Colour::TakeOff);
        assert!(coated.picture.is_some() && shown.grinding.is_some());
        let words = crate::model::legend::Legend::new(&shown).lines();
        assert!(words[0].starts_with("to take off a side for ") && words[0].ends_with("2026-05-01"));
        std::fs::write(&measured, table("thick")).unwrap();
        let told = std::iter::repeat_with(|| next(&builder)).find_map(|n| match n {
            News::Problems(told) if told.iter().any(|t| t.line == 2) => Some(told),
            _ => None,
        });
        assert!(told.unwrap()[0].message.starts_with("bench.csv: "));
    }

    #[test]
    fn every_profile_can_be_shown_in_every_way() {
        for profile in fixtures::profiles::all() {
            let design = Arc::new(design::read(profile.text.as_bytes()).unwrap());
            for ground in [Ground::Stage(Stage::Forged), Ground::Share(0.4), Ground::Stage(Stage::Finished)] {
                for (colour, parted) in Colour::ALL.into_iter().flat_map(|c| [(c, false), (c, true)]) {
                    let wish = Wish { ground, colour: Some(colour), parted, hand: false };
                    let shown = Shown::new(&design, None, wish).unwrap();
                    let coated = match shown.layers(false) {
                        Some(layers) => shown.wrapped(&layers),
                        None => shown.coated(None),
                    };
                    let triangles: usize = coated.pieces.iter().map(|p| p.surface.views.len()).sum();
                    assert_eq!(triangles, shown.triangles(), "{} {wish:?}", profile.name);
                    for piece in &coated.pieces {
                        assert_eq!(piece.surface.points.len(), 3 * piece.surface.views.len());
                        assert!(piece.surface.normals.iter().all(|n| (n.length() - 1.0).abs() < 1e-9));
                        if let crate::model::pieces::Coat::Picture(places) = &piece.coat {
                            let inside = |c: &f64| (-1e-3..=1.0 + 1e-3).contains(c);
                            assert!(places.iter().flatten().all(inside), "{} {wish:?}", profile.name);
                            assert_eq!(places.len(), piece.surface.points.len());
                        }
                    }
                }
            }
        }
    }
}
