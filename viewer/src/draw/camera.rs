//! The eye: turned around the blade by the mouse, without perspective, so that sizes can be compared by eye anywhere.

use std::f32::consts::{FRAC_PI_2, PI};

use glam::DVec3;
use kiss3d::camera::{Camera3d, OrbitCamera3d};
use kiss3d::egui;
use kiss3d::event::{Action, MouseButton, WindowEvent};
use kiss3d::glamx::{Mat4, Pose3, Vec2, Vec3};
use kiss3d::window::Canvas;
use look::From;

/// How far off the eye stands, mm: beyond any blade that may be asked for, so that nothing is cut off in front of it.
const FAR: f32 = 10_000.0;
/// How near it comes, mm: a hair in the middle of the screen.
const NEAREST: f32 = 0.5;
/// How the distance changes with a pixel of the wheel, of which a notch has ten: away from the hand is nearer, by a tenth.
const CLOSER: f32 = 0.99;
/// Room around a blade that is fitted into its place, as a share of it.
const MARGIN: f32 = 1.08;
/// Nearest to straight up or down that the eye goes, rad: there it would not know which way is up.
const POLE: f32 = 0.01;
/// The turned view, rad: a little from the point's side, and well from above, so that the back shows along the blade.
const TURNED: (f32, f32) = (FRAC_PI_2 - 0.22, FRAC_PI_2 - 0.6);

/// An eye without perspective, whose middle may lie anywhere in the window.
pub(crate) struct Camera {
    orbit: OrbitCamera3d,
    /// Where the middle lies, from −1 to 1 rightwards and upwards.
    shift: Vec2,
    /// Width and height of the window, pixels.
    size: Vec2,
    /// Where the mouse was last, from −1 to 1 rightwards and upwards.
    mouse: Vec2,
}

impl Camera {
    /// Looks from a side, at nothing yet: [`Camera::fit`] brings a blade into sight.
    pub(crate) fn new(from: From) -> Camera {
        let mut camera = Camera {
            orbit: OrbitCamera3d::new(Vec3::Z * 500.0, Vec3::ZERO),
            shift: Vec2::ZERO,
            size: Vec2::new(800.0, 600.0),
            mouse: Vec2::ZERO,
        };
        camera.orbit.rebind_reset_key(None);
        // The kit would move the blade as if its middle were the window's.
        camera.orbit.rebind_drag_button(None);
        camera.orbit.set_min_dist(NEAREST);
        camera.orbit.set_max_dist(FAR);
        camera.face(from);
        camera
    }

    /// Looks from a side.
    pub(crate) fn face(&mut self, from: From) {
        let (yaw, pitch) = match from {
            From::Right => (FRAC_PI_2, FRAC_PI_2),
            From::Left => (-FRAC_PI_2, FRAC_PI_2),
            From::Back => (FRAC_PI_2, POLE),
            From::Edge => (FRAC_PI_2, PI - POLE),
            From::Turned => TURNED,
        };
        self.orbit.set_yaw(yaw);
        self.orbit.set_pitch(pitch);
    }

    /// Brings a box (mm) into the free place of the window (pixels), as large as it can be.
    pub(crate) fn fit(&mut self, (low, high): (DVec3, DVec3), free: egui::Rect, window: egui::Vec2) {
        self.place(free, window);
        let view = self.view_transform();
        let corner = |i: usize| {
            let pick = |k: usize| if i >> k & 1 == 0 { low[k] } else { high[k] } as f32;
            view * Vec3::new(pick(0), pick(1), pick(2))
        };
        let corners: Vec<Vec3> = (0..8).map(corner).collect();
        let least = corners.iter().copied().fold(Vec3::splat(f32::INFINITY), Vec3::min);
        let most = corners.iter().copied().fold(Vec3::splat(f32::NEG_INFINITY), Vec3::max);
        let middle = view.inverse() * (0.5 * (least + most));
        let extent = most - least;
        // Half of the window's height in mm, so that both extents find room in the free place.
        let pixel = (extent.x / free.width().max(1.0)).max(extent.y / free.height().max(1.0));
        let half = 0.5 * MARGIN * pixel * window.y;
        self.orbit.set_at(middle);
        self.orbit.set_dist(half / (0.5 * self.orbit.fov()).tan());
    }

    /// Keeps the eye's middle in the middle of the free place.
    pub(crate) fn place(&mut self, free: egui::Rect, window: egui::Vec2) {
        let middle = free.center();
        self.size = Vec2::new(window.x, window.y);
        self.shift = Vec2::new(2.0 * middle.x / window.x - 1.0, 1.0 - 2.0 * middle.y / window.y);
    }

    /// Whether the mouse turns the blade.
    pub(crate) fn hold(&mut self, still: bool) {
        self.orbit.rebind_rotate_button((!still).then_some(MouseButton::Button1));
    }

    /// Where a point (mm) is seen, pixels from the window's upper left.
    pub(crate) fn pixel(&self, p: DVec3) -> egui::Pos2 {
        let seen = self.transformation().project_point3(kit(p));
        egui::pos2(0.5 * (1.0 + seen.x) * self.size.x, 0.5 * (1.0 - seen.y) * self.size.y)
    }

    /// The turn of the eye, for lights that go with it.
    pub(crate) fn pose(&self) -> Pose3 {
        self.view_transform().inverse()
    }

    /// Yaw and pitch in rad, middle in mm, and half the window's height in mm.
    pub(crate) fn state(&self) -> [f32; 6] {
        let at = self.orbit.at();
        [self.orbit.yaw(), self.orbit.pitch(), at.x, at.y, at.z, self.half()]
    }

    fn half(&self) -> f32 {
        self.orbit.dist() * (0.5 * self.orbit.fov()).tan()
    }

    /// Draws nearer (less than 1) or further off by a factor; what is under the mouse stays there.
    fn zoom(&mut self, by: f32) {
        let before = self.reach(self.mouse - self.shift);
        self.orbit.set_dist((self.orbit.dist() * by).clamp(NEAREST, FAR));
        let after = self.reach(self.mouse - self.shift);
        self.orbit.set_at(self.orbit.at() + before - after);
    }

    /// Moves the blade along with the mouse.
    fn slide(&mut self, by: Vec2) {
        self.orbit.set_at(self.orbit.at() - self.reach(by));
    }

    /// A way across the window, −1 to 1 being all of it, as one on the blade, mm.
    fn reach(&self, way: Vec2) -> Vec3 {
        let (up, aspect) = (self.half(), self.size.x / self.size.y);
        self.pose().rotation * Vec3::new(way.x * up * aspect, way.y * up, 0.0)
    }

    /// From the eye's mm to the window, whose middle is shifted, without perspective.
    fn projection(&self) -> Mat4 {
        let (up, aspect) = (self.half(), self.size.x / self.size.y);
        let across = up * aspect;
        let flat = Mat4::from_cols_array(&[
            1.0 / across,
            0.0,
            0.0,
            0.0, //
            0.0,
            1.0 / up,
            0.0,
            0.0, //
            0.0,
            0.0,
            -0.5 / FAR,
            0.0, //
            0.0,
            0.0,
            0.0,
            1.0,
        ]);
        Mat4::from_translation(self.shift.extend(0.0)) * flat
    }
}

/// A point or direction as the kit's own vector.
pub(crate) fn kit(p: DVec3) -> Vec3 {
    Vec3::new(p.x as f32, p.y as f32, p.z as f32)
}

impl Camera3d for Camera {
    fn handle_event(&mut self, canvas: &Canvas, event: &WindowEvent) {
        match *event {
            WindowEvent::Scroll(_, off, _) => self.zoom(CLOSER.powf(off as f32)),
            WindowEvent::CursorPos(x, y, _) => {
                let (wide, high) = canvas.size();
                let share = Vec2::new(x as f32 / wide.max(1) as f32, y as f32 / high.max(1) as f32);
                let now = Vec2::new(2.0 * share.x - 1.0, 1.0 - 2.0 * share.y);
                if canvas.get_mouse_button(MouseButton::Button2) == Action::Press {
                    self.slide(now - self.mouse);
                }
                self.mouse = now;
                self.orbit.handle_event(canvas, event);
            }
            _ => {}
        }
    }

    fn eye(&self) -> Vec3 {
        let at = self.orbit.at();
        at + (self.orbit.eye() - at).normalize() * FAR
    }

    fn view_transform(&self) -> Pose3 {
        Pose3::look_at_rh(self.eye(), self.orbit.at(), Vec3::Y)
    }

    fn transformation(&self) -> Mat4 {
        self.projection() * self.view_transform().to_mat4()
    }

    fn inverse_transformation(&self) -> Mat4 {
        self.transformation().inverse()
    }

    fn clip_planes(&self) -> (f32, f32) {
        (1.0, 2.0 * FAR)
    }

    fn update(&mut self, canvas: &Canvas) {
        self.orbit.update(canvas);
    }

    fn view_transform_pair(&self, _pass: usize) -> (Pose3, Mat4) {
        (self.view_transform(), self.projection())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WINDOW: egui::Vec2 = egui::vec2(1000.0, 600.0);

    #[test]
    fn the_blade_fills_its_place_from_every_side() {
        let free = egui::Rect::from_min_max(egui::pos2(0.0, 90.0), egui::pos2(1000.0, 350.0));
        let (low, high) = (DVec3::new(-110.0, -20.0, -3.0), DVec3::new(480.0, 18.0, 3.0));
        for from in From::ALL {
            let mut camera = Camera::new(from);
            camera.fit((low, high), free, WINDOW);
            let corners = (0..8).map(|i| {
                let pick = |k: usize| if i >> k & 1 == 0 { low[k] } else { high[k] };
                camera.pixel(DVec3::new(pick(0), pick(1), pick(2)))
            });
            let seen = egui::Rect::from_points(&corners.collect::<Vec<_>>());
            assert!(free.contains_rect(seen), "{from:?} {seen:?}");
            let full = (seen.width() / free.width()).max(seen.height() / free.height());
            assert!(full > 0.85, "{from:?} {full}");
        }
    }

    #[test]
    fn what_is_under_the_mouse_stays_there() {
        let free = egui::Rect::from_min_max(egui::pos2(0.0, 90.0), egui::pos2(700.0, 350.0));
        for from in From::ALL {
            let mut camera = Camera::new(from);
            camera.fit((DVec3::new(-110.0, -20.0, -3.0), DVec3::new(480.0, 18.0, 3.0)), free, WINDOW);
            let at = camera.orbit.at() + camera.reach(Vec2::new(0.3, -0.2));
            let point = DVec3::new(f64::from(at.x), f64::from(at.y), f64::from(at.z));
            let before = camera.pixel(point);
            let size = egui::vec2(camera.size.x, camera.size.y);
            camera.mouse = Vec2::new(2.0 * before.x / size.x - 1.0, 1.0 - 2.0 * before.y / size.y);
            for by in [0.5, 0.1, 3.0] {
                camera.zoom(by);
                assert!((camera.pixel(point) - before).length() < 0.5, "{from:?} {by}");
            }
            camera.slide(Vec2::new(0.1, 0.25));
            assert!((camera.pixel(point) - before - egui::vec2(50.0, -75.0)).length() < 0.5, "{from:?}");
        }
    }

    #[test]
    fn sides_are_seen_the_right_way_about() {
        let seen = |from: From| {
            let camera = Camera::new(from);
            let way = |p: DVec3| camera.pixel(p) - camera.pixel(DVec3::ZERO);
            (way(DVec3::X * 10.0), way(DVec3::Y * 10.0), way(DVec3::Z * 10.0))
        };
        let (x, y, _) = seen(From::Right);
        assert!(x.x > 1.0 && y.y < -1.0);
        let (x, y, _) = seen(From::Left);
        assert!(x.x < -1.0 && y.y < -1.0);
        // From above the left side is up, from below the right one.
        let (x, _, z) = seen(From::Back);
        assert!(x.x > 1.0 && z.y > 1.0);
        let (x, _, z) = seen(From::Edge);
        assert!(x.x > 1.0 && z.y < -1.0);
        let (x, y, z) = seen(From::Turned);
        assert!(x.x > 1.0 && y.y < -1.0 && z.y > 0.0);
    }
}
