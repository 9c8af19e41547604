//! An independent checker of takeoffs: cover, laps, seam distances, sizes, reach, order and cut plans by geometry alone.

use facelay::diag::Problems;
use facelay::geometry::Point;
use facelay::geometry::Rect;
use facelay::geometry::Region;
use facelay::recipe::Laying;
use facelay::takeoff::LaidLayer;
use facelay::takeoff::Piece;
use facelay::takeoff::Takeoff;
use facelay::units::Length;

use crate::builder::mm;

/// Checks a takeoff by geometry alone.
pub(crate) fn check(takeoff: &Takeoff, problems: &Problems) {
    if !problems
        .iter()
        .any(|problem| problem.text.contains("of seams lie nearer"))
    {
        for pair in takeoff
            .layers
            .windows(2)
            .filter(|pair| pair[0].panel == pair[1].panel)
        {
            seams_keep_apart(&pair[0], &pair[1]);
        }
    }
    for layer in &takeoff.layers {
        covers(layer);
        covers_samples(layer);
        laps(layer);
        sizes(layer);
        order(layer);
    }
    cut_plans(takeoff);
}

fn rect(piece: &Piece) -> Rect {
    Rect {
        x: piece.x,
        y: piece.y,
        width: piece.width,
        height: piece.height,
    }
}

/// No point of the region is bare.
fn covers(layer: &LaidLayer) {
    let sheet = Region::union_of(layer.pieces.iter().map(|piece| rect(piece).ring()));
    let bare = layer.region.difference(&sheet).area().to_m2();
    assert!(bare < 1e-7, "layer {} leaves {bare} m² bare", layer.layer);
}

/// Points spread over the region, each under a piece: asked of the region itself, not of an area.
fn covers_samples(layer: &LaidLayer) {
    let Some(bounds) = layer.region.bounds() else {
        return;
    };
    let places = || (1..12).map(|part| f64::from(part) / 12.0);
    for (across, up) in places().flat_map(|across| places().map(move |up| (across, up))) {
        let point = Point::new(
            bounds.x + bounds.width.times(across),
            bounds.y + bounds.height.times(up),
        );
        let under = |piece: &Piece| {
            let piece = rect(piece);
            piece.x <= point.x
                && point.x <= piece.right()
                && piece.y <= point.y
                && point.y <= piece.top()
        };
        assert!(
            !layer.region.contains(point) || layer.pieces.iter().any(under),
            "layer {} is bare at {point:?}",
            layer.layer
        );
    }
}

/// No piece is longer than a person can handle, or leaves the reach of its lift.
fn sizes(layer: &LaidLayer) {
    for piece in &layer.pieces {
        if let Some(longest) = layer.longest_piece {
            assert!(piece.width.max(piece.height) <= longest, "{piece:?}");
        }
        let whole = rect(piece);
        let mut reaches = layer.bands.iter();
        assert!(
            layer.bands.is_empty()
                || reaches.any(|band| band.from <= whole.y && whole.top() <= band.to),
            "{piece:?} leaves the reach of its lift"
        );
    }
}

/// Top down no piece lies higher than the one before; from the middle out none lies nearer to the middle.
fn order(layer: &LaidLayer) {
    let pieces: Vec<Rect> = layer.pieces.iter().map(rect).collect();
    let Some(around) = Region::union_of(pieces.iter().map(Rect::ring)).bounds() else {
        return;
    };
    let far = |piece: &Rect| {
        let middle = |from: Length, to: Length| f64::midpoint(from.to_mm(), to.to_mm());
        let x = middle(piece.x, piece.right()) - middle(around.x, around.right());
        let y = middle(piece.y, piece.top()) - middle(around.y, around.top());
        libm::hypot(x, y)
    };
    for pair in pieces.windows(2) {
        match layer.laying {
            Laying::TopDown => assert!(pair[0].top() >= pair[1].top()),
            Laying::MiddleOut => assert!(far(&pair[0]) <= far(&pair[1]) + 0.01),
        }
    }
}

/// Upright seams keep their distance from the canvas's own, wherever they lie within the region (tried every 4 mm).
pub(crate) fn canvas_keeps_apart(layer: &LaidLayer, seams: &[Length]) {
    let inner = layer.region.offset(mm(-1.0));
    for (_, at, from, to) in edges(layer).into_iter().filter(|edge| edge.0) {
        let at = Length::steps(at);
        let near = |seam: &&Length| (**seam - at).abs() < layer.canvas_seam_distance;
        for seam in seams.iter().filter(near) {
            for along in (from..to).step_by(32_000).skip(1) {
                assert!(
                    !inner.contains(Point::new(at, Length::steps(along))),
                    "layer {}: a seam at {} mm, the canvas has one at {} mm",
                    layer.layer,
                    at.to_mm(),
                    seam.to_mm()
                );
            }
        }
    }
}

/// Says whether pieces lie alike on both sides of the region's middle, to 2 mm.
pub(crate) fn is_alike(layer: &LaidLayer) -> bool {
    let bounds = layer.region.bounds();
    let both = bounds.map_or(0.0, |bounds| (bounds.x + bounds.right()).to_mm());
    let sides = |piece: &Piece| {
        let whole = rect(piece);
        [whole.x, whole.right(), whole.y, whole.top()].map(Length::to_mm)
    };
    layer.pieces.iter().map(sides).all(|[x, right, y, top]| {
        let mirrored = [both - right, both - x, y, top];
        layer.pieces.iter().map(sides).any(|other| {
            other
                .iter()
                .zip(mirrored)
                .all(|(one, other)| (one - other).abs() <= 2.01)
        })
    })
}

/// With half the overlap taken off every side of every piece, all is still covered that lies well inside the region: so
/// wherever two pieces meet, one reaches the overlap over the other.
///
/// Well inside is half the overlap both ways from any edge, so the square root of two times that across a corner.
fn laps(layer: &LaidLayer) {
    let half = layer.overlap.half();
    let shrunk = layer.pieces.iter().filter_map(|piece| {
        let whole = rect(piece);
        let (width, height) = (whole.width - half - half, whole.height - half - half);
        (width.is_positive() && height.is_positive()).then(|| {
            Rect {
                x: whole.x + half,
                y: whole.y + half,
                width,
                height,
            }
            .ring()
        })
    });
    // A hair less, for the chance that two pieces meet on one line.
    let inner = layer
        .region
        .offset(-half.times(std::f64::consts::SQRT_2) - mm(0.01));
    let sheet = Region::union_of(shrunk.collect::<Vec<_>>());
    let bare = inner.difference(&sheet);
    assert!(
        bare.area().to_m2() < 1e-6,
        "layer {}: laps too narrow at {:?}",
        layer.layer,
        bare.bounds()
    );
}

/// Edges of pieces within the region: upright or level, where, and from where to where.
fn edges(layer: &LaidLayer) -> Vec<(bool, i64, i64, i64)> {
    let sides = layer.pieces.iter().flat_map(|piece| {
        let whole = rect(piece);
        let [x, y, right, top] =
            [whole.x, whole.y, whole.right(), whole.top()].map(Length::to_steps);
        [
            (true, x, y, top),
            (true, right, y, top),
            (false, y, x, right),
            (false, top, x, right),
        ]
    });
    sides.collect()
}

/// Like seams of neighbouring layers that run side by side are at least the seam distance apart, wherever both lie
/// within their regions (tried every 4 mm).
fn seams_keep_apart(below: &LaidLayer, above: &LaidLayer) {
    let distance = above.seam_distance.to_steps();
    let under = edges(below);
    // An edge on the rim of a region is no seam.
    let (inner, beneath) = (above.region.offset(mm(-1.0)), below.region.offset(mm(-1.0)));
    for (upright, at, from, to) in edges(above) {
        let near =
            |other: &&(bool, i64, i64, i64)| other.0 == upright && (other.1 - at).abs() < distance;
        for other in under.iter().filter(near) {
            let (start, end) = (from.max(other.2), to.min(other.3));
            let point = |at: i64, along: i64| {
                let (at, along) = (Length::steps(at), Length::steps(along));
                if upright {
                    Point::new(at, along)
                } else {
                    Point::new(along, at)
                }
            };
            for along in (start..end).step_by(32_000).skip(1) {
                let both =
                    inner.contains(point(at, along)) && beneath.contains(point(other.1, along));
                assert!(
                    !both,
                    "layers {} and {}: seams {} mm apart",
                    below.layer,
                    above.layer,
                    (other.1 - at).abs() / 8000
                );
            }
        }
    }
}

/// Every piece is cut once, as large as it is laid, within its stock, over no other.
fn cut_plans(takeoff: &Takeoff) {
    let mut laid: Vec<(&str, i64, i64)> = takeoff
        .layers
        .iter()
        .flat_map(|layer| &layer.pieces)
        .map(|piece| {
            (
                piece.id.as_str(),
                piece.width.to_steps(),
                piece.height.to_steps(),
            )
        })
        .collect();
    let mut cut = Vec::new();
    for unit in &takeoff.cuts {
        for (number, piece) in unit.pieces.iter().enumerate() {
            let at = Rect {
                x: piece.x,
                y: piece.y,
                width: piece.width,
                height: piece.height,
            };
            assert!(
                at.x >= mm(0.0)
                    && at.y >= mm(0.0)
                    && at.right() <= unit.width
                    && at.top() <= unit.length
            );
            for other in &unit.pieces[number + 1..] {
                assert!(!at.meets(&Rect {
                    x: other.x,
                    y: other.y,
                    width: other.width,
                    height: other.height
                }));
            }
            let (width, height) = if piece.turned {
                (piece.height, piece.width)
            } else {
                (piece.width, piece.height)
            };
            cut.push((piece.id.as_str(), width.to_steps(), height.to_steps()));
        }
    }
    laid.sort_unstable();
    cut.sort_unstable();
    assert_eq!(laid, cut);
}
