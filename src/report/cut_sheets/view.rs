//! A wall on paper: where its points lie, and how far up the floor is.

use crate::geometry::Rect;
use crate::geometry::Ring;
use crate::report::figure::Frame;
use crate::units::Length;

use super::page::Scale;

/// A wall drawn at a scale.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
    /// Where the wall's zero lies on paper.
    pub(super) zero: (f64, f64),
    /// The scale.
    pub(super) scale: Scale,
}

impl View {
    /// A point of the wall on paper.
    pub(super) fn at(&self, x: Length, y: Length) -> (f64, f64) {
        (
            self.zero.0 + self.scale.paper(x),
            self.zero.1 - self.scale.paper(y),
        )
    }

    /// A rectangle of the wall on paper.
    pub(super) fn frame(&self, rect: &Rect) -> Frame {
        let (left, bottom) = self.at(rect.x, rect.y);
        let (right, top) = self.at(rect.right(), rect.top());
        Frame {
            left,
            top,
            right,
            bottom,
        }
    }

    /// A closed line of the wall on paper.
    pub(super) fn ring(&self, ring: &Ring) -> Vec<(f64, f64)> {
        ring.iter().map(|point| self.at(point.x, point.y)).collect()
    }
}

/// How the floor is drawn under a panel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Floor {
    /// The panel stands on it, or the job does not say.
    Below,
    /// To scale, so far below the panel's bottom edge.
    At(Length),
    /// Too far below to be drawn to scale.
    Broken(Length),
}

/// Paper that a floor takes which is too far below.
const BROKEN: f64 = 15.0;

impl Floor {
    /// How the floor is drawn so far below a panel of which so much is drawn.
    pub(super) fn below(height: Length, drawn: &Rect) -> Self {
        if !height.is_positive() {
            Self::Below
        } else if height > drawn.height.half() {
            Self::Broken(height)
        } else {
            Self::At(height)
        }
    }

    /// Wall below the panel's bottom edge that is drawn to scale, margins of the layer included.
    pub(super) fn wall(self, drawn: &Rect) -> Length {
        let margin = (-drawn.y).max(Length::ZERO);
        match self {
            Self::Below | Self::Broken(_) => margin,
            Self::At(height) => height.max(margin),
        }
    }

    /// Paper that it takes besides.
    pub(super) const fn paper(self) -> f64 {
        match self {
            Self::Below | Self::At(_) => 4.0,
            Self::Broken(_) => BROKEN,
        }
    }

    /// Its line on paper, under a panel of which so much is drawn.
    pub(super) fn line(self, view: &View, drawn: &Rect) -> f64 {
        match self {
            Self::Below => view.zero.1,
            Self::At(height) => view.zero.1 + view.scale.paper(height),
            Self::Broken(_) => view.zero.1 + view.scale.paper(self.wall(drawn)) + BROKEN - 4.0,
        }
    }
}
