//! A drawing of lines and words as SVG. Everything that comes from a person is escaped.

use std::fmt::Write as _;

use minijinja::HtmlEscape;

/// A point on a drawing: x to the right, y downward, in the drawing's units.
pub(super) type Point = [f64; 2];

/// Where a word stands about its point.
#[derive(Debug, Clone, Copy)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// A drawing in the making.
pub(super) struct Drawing {
    width: f64,
    height: f64,
    body: String,
}

impl Drawing {
    pub(super) fn new(width: f64, height: f64) -> Self {
        let body = String::new();
        Self {
            width,
            height,
            body,
        }
    }

    /// The drawing as an element with a text in its place for those who do not see it. `id` must be
    /// the page's only one; `class` says when the drawing is shown.
    pub(super) fn finish(self, id: &str, class: &str, title: &str, description: &str) -> String {
        format!(
            "<svg id=\"{id}\" class=\"{class}\" viewBox=\"0 0 {} {}\" role=\"img\" \
             aria-labelledby=\"{id}-t {id}-d\"><title id=\"{id}-t\">{}</title>\
             <desc id=\"{id}-d\">{}</desc>{}</svg>",
            Number(self.width),
            Number(self.height),
            HtmlEscape(title),
            HtmlEscape(description),
            self.body
        )
    }

    /// The drawing as an element that says nothing the words beside it do not.
    pub(super) fn finish_plain(self, class: &str) -> String {
        format!(
            "<svg class=\"{class}\" viewBox=\"0 0 {} {}\" aria-hidden=\"true\">{}</svg>",
            Number(self.width),
            Number(self.height),
            self.body
        )
    }

    pub(super) fn line(&mut self, class: &str, from: Point, to: Point) {
        self.path(class, &Path::open(&[from, to]));
    }

    pub(super) fn path(&mut self, class: &str, path: &Path) {
        let _ = write!(
            self.body,
            "<path class=\"{class}\" d=\"{}\"/>",
            path.commands
        );
    }

    pub(super) fn circle(&mut self, class: &str, [x, y]: Point, radius: f64) {
        let (x, y, radius) = (Number(x), Number(y), Number(radius));
        let _ = write!(
            self.body,
            "<circle class=\"{class}\" cx=\"{x}\" cy=\"{y}\" r=\"{radius}\"/>"
        );
    }

    pub(super) fn rectangle(&mut self, class: &str, [x, y]: Point, width: f64, height: f64) {
        let (x, y, width, height) = (Number(x), Number(y), Number(width), Number(height));
        let _ = write!(
            self.body,
            "<rect class=\"{class}\" x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\"/>"
        );
    }

    pub(super) fn text(&mut self, class: &str, [x, y]: Point, anchor: Anchor, text: &str) {
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let (x, y) = (Number(x), Number(y));
        let _ = write!(
            self.body,
            "<text class=\"{class}\" x=\"{x}\" y=\"{y}\" text-anchor=\"{anchor}\">{}</text>",
            HtmlEscape(text)
        );
    }

    /// Draws what belongs to one route, numbered by its place, so that the page can show it alone.
    pub(super) fn of_route(&mut self, route: usize, draw: impl FnOnce(&mut Self)) {
        let _ = write!(self.body, "<g class=\"way w{route}\">");
        draw(self);
        self.body.push_str("</g>");
    }

    /// Draws what shows `title` where a pointer rests on it.
    pub(super) fn titled(&mut self, title: &str, draw: impl FnOnce(&mut Self)) {
        let _ = write!(self.body, "<g><title>{}</title>", HtmlEscape(title));
        draw(self);
        self.body.push_str("</g>");
    }

    /// An unseen rectangle that shows `title` where a pointer rests on it.
    pub(super) fn hover(&mut self, title: &str, corner: Point, width: f64, height: f64) {
        self.titled(title, |drawing| {
            drawing.rectangle("hover", corner, width, height);
        });
    }

    /// An empty drawing of the same size.
    pub(super) fn blank(&self) -> Self {
        Self::new(self.width, self.height)
    }

    /// Adds what another drawing of the same size shows, above what is there.
    pub(super) fn append(&mut self, above: &Self) {
        self.body.push_str(&above.body);
    }

    /// Draws into a part of its own, cut off at a rectangle of the whole drawing.
    pub(super) fn window(
        &mut self,
        [x, y]: Point,
        width: f64,
        height: f64,
        draw: impl FnOnce(&mut Self),
    ) {
        let (x, y, width, height) = (Number(x), Number(y), Number(width), Number(height));
        let _ = write!(
            self.body,
            "<svg x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" \
             viewBox=\"{x} {y} {width} {height}\">"
        );
        draw(self);
        self.body.push_str("</svg>");
    }
}

/// The commands of a path.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Path {
    commands: String,
}

impl Path {
    /// Lines from point to point.
    pub(super) fn open(points: &[Point]) -> Self {
        let mut path = Self::default();
        path.add(points, false);
        path
    }

    /// An outline.
    pub(super) fn closed(points: &[Point]) -> Self {
        let mut path = Self::default();
        path.add(points, true);
        path
    }

    /// Adds lines from point to point, as a part of its own.
    pub(super) fn add(&mut self, points: &[Point], close: bool) {
        for (index, [x, y]) in points.iter().enumerate() {
            let command = if index == 0 { 'M' } else { 'L' };
            let _ = write!(self.commands, "{command}{} {}", Number(*x), Number(*y));
        }
        if close && !points.is_empty() {
            self.commands.push('Z');
        }
    }

    /// Adds the parts of another path.
    pub(super) fn join(&mut self, other: &Self) {
        self.commands.push_str(&other.commands);
    }
}

/// A number to a tenth of a unit, as short as can be.
struct Number(f64);

impl std::fmt::Display for Number {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let tenths = (self.0 * 10.0).round();
        if tenths % 10.0 == 0.0 {
            write!(f, "{}", (tenths / 10.0) as i64)
        } else {
            write!(f, "{:.1}", tenths / 10.0)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short() {
        let written = |value: f64| Number(value).to_string();
        assert_eq!(
            [12.0, 7.25, -0.04, 3.99].map(written),
            ["12", "7.3", "0", "4"]
        );
    }

    #[test]
    fn what_people_write_is_escaped() {
        let mut drawing = Drawing::new(10.0, 10.0);
        drawing.text("label", [0.0, 0.0], Anchor::Start, "<b>\"A\" & 'B'</b>");
        let svg = drawing.finish("x", "wide", "<title>", "a \"desc\"");
        assert!(!svg.contains("<b>") && svg.contains("&lt;b&gt;&quot;A&quot; &amp; "));
        assert!(svg.contains(">&lt;title&gt;</title>"), "{svg}");
    }
}
