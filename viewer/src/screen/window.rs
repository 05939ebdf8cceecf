//! The window: frames as long as they come out otherwise than the last one, and rest while nothing changes.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use kiss3d::event::{Action, Key};
use kiss3d::pollster;
use kiss3d::scene::SceneNode3d;
use kiss3d::window::Window;

use crate::desk::board::{Ask, Desk, Overlay};
use crate::desk::frame;
use crate::desk::start::Start;
use crate::desk::state::{start_state, state};
use crate::desk::style;
use crate::draw::camera::Camera;
use crate::draw::scene::Scene;
use crate::fault::Fault;
use crate::file::builder::Builder;
use crate::file::news::{Built, News};
use crate::file::order::Order;
use crate::file::source;
use crate::model::settings::Settings;
use crate::model::shown::{Coated, Shown, Wish};
use crate::screen::kit::{behind, is_due, is_moving, lighten, listen, quietly, ready, setup, snap, stirred};
use crate::screen::trace::Trace;

/// How long a window that shows nothing new sleeps before it looks again: less than an eye notices.
const REST: Duration = Duration::from_millis(12);

/// Shows the blade until the window is closed.
///
/// # Errors
/// [`Fault::Screen`] where no window can be opened, [`Fault::Write`] for a trace that can't be written.
pub fn view(asked: &look::View) -> Result<(), Fault> {
    let mut trace = Trace::open(asked.trace.as_deref())?;
    let mut window = open(asked)?;
    let chosen = match &asked.design {
        Some(path) => Some(path.clone()),
        None => pollster::block_on(start(&mut window, &mut trace, asked.look.dark)),
    };
    let Some(path) = chosen else { return Ok(()) };
    let design = source::read(&path).ok().and_then(|bytes| design::read(&bytes).ok());
    let settings = Settings::new(&asked.look, design.as_ref());
    let file = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
    let wish = Wish::new(&settings, false);
    let mut session = Session {
        builder: Builder::start(&path, asked.look.measured.as_deref(), wish),
        desk: Desk::new(file, settings),
        camera: Camera::new(asked.look.from),
        scene: Scene::new(),
        window,
        trace,
        wish,
        fitted: false,
        free: kiss3d::egui::Rect::ZERO,
        fresh: true,
        steady: false,
        begun: Instant::now(),
        sent: Vec::new(),
        seen: None,
    };
    if asked.design.is_none() {
        session.desk.take_in_hand(true);
    }
    pollster::block_on(session.run(path.parent().unwrap_or(Path::new("."))));
    Ok(())
}

/// Lets the smith begin a design or open one, in the folder where the program was started; `None` where the window is closed.
async fn start(window: &mut Window, trace: &mut Trace, dark: bool) -> Option<PathBuf> {
    let mut start = Start::new(Path::new("."), dark);
    let (mut root, mut camera) = (SceneNode3d::empty(), Camera::new(look::From::Right));
    let mut fresh = true;
    loop {
        let begun = Instant::now();
        window.canvas_mut().poll_events();
        if !(stirred(window) || fresh || is_due(window) || window.should_close()) {
            trace.rests(true);
            std::thread::sleep(REST);
            continue;
        }
        trace.rests(false);
        let mut chosen = None;
        behind(window, &style::ink(dark));
        window.draw_ui(|ctx| chosen = start.draw(ctx));
        let work = begun.elapsed();
        if !window.render_3d(&mut root, &mut camera).await {
            return None;
        }
        if chosen.is_some() {
            return chosen;
        }
        fresh = is_moving(window);
        trace.state(start_state(&start.places));
        trace.frame(work, begun.elapsed());
    }
}

/// Opens the window, or says in words why there is none: the kit itself would stop the program.
fn open(asked: &look::View) -> Result<Window, Fault> {
    let title = match asked.design.as_deref().and_then(Path::file_stem) {
        Some(stem) => format!("{} - Seaxwright", stem.to_string_lossy()),
        None => "Seaxwright".to_owned(),
    };
    let opened = quietly(|| {
        pollster::block_on(Window::new_with_setup(&title, asked.size.width, asked.size.height, setup()))
    });
    let mut window = opened.map_err(|_| {
        let why =
            "no window can be opened here: there is no display, or no driver for Vulkan, Metal or DirectX 12";
        Fault::Screen(format!("{why}; `seaxwright picture` needs no display"))
    })?;
    ready(&mut window);
    listen(&window);
    lighten(&mut window);
    Ok(window)
}

/// All that a window has to do with.
struct Session {
    window: Window,
    builder: Builder,
    desk: Desk,
    camera: Camera,
    scene: Scene,
    trace: Trace,
    /// What the builder was last asked for.
    wish: Wish,
    /// Whether the first blade was brought into sight.
    fitted: bool,
    /// The free place that the camera knows.
    free: kiss3d::egui::Rect,
    /// Whether another frame has to be drawn: the words measure themselves in one and are placed in the next.
    fresh: bool,
    /// Whether the last frame was like the one before.
    steady: bool,
    /// When the frame was begun that is drawn.
    begun: Instant,
    /// The texts that the hand has sent, and when it was heard that it moved.
    sent: Vec<(u64, Instant)>,
    /// The one whose blade is first seen in this frame, and how long its making took.
    seen: Option<(Instant, Duration)>,
}

impl Session {
    /// Draws frames until the window is closed.
    async fn run(&mut self, folder: &Path) {
        loop {
            let begun = Instant::now();
            self.window.canvas_mut().poll_events();
            // Before the news are heard: it tells them before it is idle.
            let idle = self.builder.is_idle();
            self.fresh |= self.hear() | stirred(&self.window) | is_due(&self.window);
            if self.fresh {
                self.trace.rests(false);
                if !self.frame(begun, folder).await {
                    return;
                }
            } else if self.window.should_close() {
                return;
            } else {
                self.trace.rests(idle);
                self.builder.wait(REST);
            }
        }
    }

    /// Draws a frame and does what was asked for in it; whether the window is still open.
    async fn frame(&mut self, begun: Instant, folder: &Path) -> bool {
        self.begun = begun;
        let before = (self.desk.settings.clone(), self.camera.state());
        self.prepare(Overlay::Everything);
        let work = begun.elapsed();
        // What is told of it costs nothing where nobody listens: it is not counted.
        if self.trace.is_on() {
            self.trace.state(state(&self.desk, &self.camera));
        }
        let (telling, drawing) = (begun.elapsed() - work, Instant::now());
        if !self.window.render_3d(&mut self.scene.root, &mut self.camera).await {
            return false;
        }
        if let Some((moved, built)) = self.seen.take() {
            self.trace.followed(moved.elapsed() - telling, built, drawing.elapsed());
        }
        self.steady = !is_moving(&self.window);
        let is_unfitted = !self.fitted && self.desk.shown.is_some();
        self.fresh = !self.steady || is_unfitted;
        self.answer(folder).await;
        self.fresh |= before != (self.desk.settings.clone(), self.camera.state());
        self.trace.frame(work, begun.elapsed() - telling);
        true
    }

    /// Looks at the key that the kit keeps to itself: shift beside the mouse.
    fn look_at_keys(&mut self) {
        let is_down = |key: Key| self.window.get_key(key) == Action::Press;
        self.desk.fine = [Key::LShift, Key::RShift].into_iter().any(is_down);
    }

    /// Takes what the builder has to tell; whether it told anything.
    fn hear(&mut self) -> bool {
        let news: Vec<News> = self.builder.news().collect();
        let any = !news.is_empty();
        for one in news {
            self.take(one);
        }
        any
    }

    /// Takes one piece of news.
    fn take(&mut self, news: News) {
        let desk = &mut self.desk;
        match news {
            News::Shown { shown, coated, built } => self.show(shown, coated, built),
            News::Coat(coated) => self.scene.put(coated),
            News::Problems(problems) => (desk.problems, desk.notice) = (problems, None),
            News::Warnings(warnings) => desk.warnings = warnings,
            News::Refused { number, problems } => {
                let why = problems.first().map(|p| desk.words_of(p)).unwrap_or_default();
                if !desk.hand.answered(number, Some(why)) {
                    (desk.problems, desk.notice) = (problems, None);
                }
            }
            News::Fitted(found) => desk.offer(found),
            News::File(text) => desk.hand.file_is(text),
            News::Saved(text) => desk.hand.saved(text),
            News::Unsaved(why) => {
                desk.hand.unsaved(why.is_none());
                desk.notice = why.map(|why| format!("{} can't be written: {why}", desk.file));
            }
            News::Unreadable(why) => {
                let kept = if desk.shown.is_some() { "; the blade shown is the last one read" } else { "" };
                let notice = format!("{} can't be read: {why}{kept}", desk.file);
                (desk.problems, desk.notice) = (Vec::new(), Some(notice));
            }
            News::Unread(why) => desk.notice = Some(why),
            News::Measuring(file) => desk.noting.file = file,
            News::Noted { rows, refused } => desk.noting.answered(rows, refused),
            News::Fault(why) => {
                desk.notice =
                    Some(format!("This blade can't be drawn; that is a mistake in seaxwright: {why}"))
            }
        }
    }

    /// Shows another blade.
    fn show(&mut self, shown: Box<Shown>, coated: Coated, built: Built) {
        if built.read {
            (self.desk.problems, self.desk.notice) = (Vec::new(), None);
        }
        match built.number {
            Some(number) => {
                self.desk.hand.answered(number, None);
                let moved = self.sent.iter().find(|(sent, _)| *sent == number).map(|(_, moved)| *moved);
                self.seen = moved.map(|moved| (moved, built.took)).or(self.seen);
                self.sent.retain(|(sent, _)| *sent > number);
            }
            None if built.read => self.desk.hand.shows_file(),
            None => {}
        }
        self.desk.shown = Some(shown);
        self.steady = false;
        self.desk.forget_cut();
        self.scene.put(coated);
        self.trace.built(built);
    }

    /// Everything before the card's own work on a frame.
    fn prepare(&mut self, overlay: Overlay) {
        let ink = self.desk.ink();
        self.look_at_keys();
        behind(&mut self.window, &ink);
        let (desk, camera) = (&mut self.desk, &mut self.camera);
        self.window.draw_ui(|ctx| frame::draw(ctx, desk, camera, overlay));
        let wish = Wish::new(&self.desk.settings, self.desk.hand.on);
        if wish != self.wish {
            self.builder.order(Order::Wish(wish));
            self.wish = wish;
        }
        let orders = self.desk.hand.orders().into_iter().chain(self.desk.noting.orders());
        for order in orders {
            if let Order::Text { number, .. } = order {
                self.sent.push((number, self.begun));
            }
            self.builder.order(order);
        }
        self.scene.spread(self.desk.spread());
        self.place();
        self.scene.light(&self.camera);
    }

    /// Fits the first blade, and later keeps the eye in the middle of the free place.
    fn place(&mut self) {
        let size = self.window_size();
        if size.x < 1.0 || size.y < 1.0 {
            return;
        }
        if !self.fitted && self.desk.shown.is_some() && self.steady {
            self.camera.fit(self.desk.bounds(), self.desk.free, size);
            self.fitted = true;
        } else if self.free != self.desk.free {
            self.camera.place(self.desk.free, size);
        }
        self.free = self.desk.free;
    }

    fn window_size(&self) -> kiss3d::egui::Vec2 {
        let scale = self.window.scale_factor() as f32;
        kiss3d::egui::vec2(self.window.width() as f32, self.window.height() as f32) / scale
    }

    /// Does what was asked for in the last frame.
    async fn answer(&mut self, folder: &Path) {
        for ask in std::mem::take(&mut self.desk.asked) {
            match ask {
                Ask::Face(from) => {
                    self.camera.face(from);
                    self.camera.fit(self.desk.bounds(), self.desk.free, self.window_size());
                }
                Ask::Fit => self.camera.fit(self.desk.bounds(), self.desk.free, self.window_size()),
                Ask::Save => self.save(folder).await,
                Ask::Close => self.window.close(),
            }
            self.fresh = true;
        }
    }

    /// Saves what is seen, without the controls, beside the design.
    async fn save(&mut self, folder: &Path) {
        let Some(slug) = self.desk.shown.as_ref().map(|s| s.design.slug().to_owned()) else { return };
        self.desk.notice = None;
        // Words are measured in a first frame and stand right in the second.
        for _ in 0..2 {
            self.prepare(Overlay::Key);
            if !self.window.render_3d(&mut self.scene.root, &mut self.camera).await {
                self.window.close();
                return;
            }
        }
        self.desk.notice = Some(match snap(&self.window).write_next(folder, &format!("{slug}-view")) {
            Ok(path) => format!("Saved {}", path.display()),
            Err(fault) => fault.to_string(),
        });
    }
}
