//! Frame after frame of a film. What is kept in memory does not grow with its length.

use super::area::Area;
use super::canvas::Canvas;
use super::stage::Stage;
use crate::film::{Film, Scene, Scenes};
use crate::font::Fonts;
use crate::write::error::WriteError;

/// A frame.
#[derive(Clone, Copy, Debug)]
pub struct Frame<'a> {
    /// Its number, from 0.
    pub number: u64,
    /// Its pixels, row by row from the upper left: red, green, blue and opacity, a byte each, light not
    /// multiplied by opacity.
    pub bytes: &'a [u8],
    /// What is different from the frame before; nothing where all is the same.
    pub changed: Option<Area>,
    /// How many of its pixels were drawn for it.
    pub drawn: u64,
}

/// The frames of a film, in order.
pub struct Frames<'a> {
    film: &'a Film,
    scenes: Scenes<'a>,
    scene: Option<Scene>,
    stage: Stage<'a>,
    canvas: Canvas,
    next: u64,
}

impl<'a> Frames<'a> {
    /// Those of a film.
    ///
    /// # Errors
    ///
    /// There is no memory for them.
    pub fn of(film: &'a Film, fonts: &'a Fonts) -> Result<Self, WriteError> {
        let size = film.options().size;
        let paper = film.options().colours.paper;
        let canvas = Canvas::new((size.width(), size.height()), paper)
            .ok_or_else(|| WriteError("there is no memory for frames of that size".into()))?;
        let mut scenes = film.scenes();
        let scene = scenes.next();
        Ok(Self { film, scenes, scene, stage: Stage::of(film, fonts), canvas, next: 0 })
    }

    /// The next frame; nothing after the last.
    pub fn next_frame(&mut self) -> Option<Frame<'_>> {
        let number = self.next;
        if number >= self.film.frames() {
            return None;
        }
        self.next += 1;
        let second = self.film.options().rate.middle(number);
        while self.scene.as_ref().is_some_and(|scene| scene.seconds.1 <= second) {
            self.scene = self.scenes.next();
        }
        let scene = self.scene.as_ref();
        let layers = scene.map_or_else(Vec::new, |scene| self.stage.seen(scene, second));
        let (changed, drawn) = self.canvas.show(layers);
        Some(Frame { number, bytes: self.canvas.bytes(), changed, drawn })
    }
}
