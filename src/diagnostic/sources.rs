/// The byte-order mark that some editors put at the start of a text.
const MARK: char = '\u{feff}';

/// Which text a place points into.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct SourceId(pub u16);

/// A span of bytes in one of the texts that were read.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Place {
    /// The text.
    pub source: SourceId,
    /// The first byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl Place {
    /// The place of something that no text states.
    pub const NOWHERE: Place = Place {
        source: SourceId(u16::MAX),
        start: 0,
        end: 0,
    };
}

/// The texts that were read, in reading order. The design file, the files it
/// uses, a `--set X=Y` of the command line and built-in data are all sources.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    texts: Vec<(String, String)>,
}

impl Sources {
    /// No texts yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Registers a text under the name that messages will give it.
    ///
    /// There is room for 65,536 texts; any beyond that share the last number.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> SourceId {
        let id = u16::try_from(self.texts.len()).unwrap_or(u16::MAX);
        self.texts.push((name.into(), text.into()));
        SourceId(id)
    }

    /// The name of a text; empty for one that was never added.
    pub fn name(&self, id: SourceId) -> &str {
        self.texts
            .get(usize::from(id.0))
            .map_or("", |(name, _)| name.as_str())
    }

    /// The text itself; empty for one that was never added.
    pub fn text(&self, id: SourceId) -> &str {
        self.texts
            .get(usize::from(id.0))
            .map_or("", |(_, text)| text.as_str())
    }

    /// Line and column of the start of a place, both from 1. Columns count
    /// characters; a byte-order mark counts as none.
    pub fn line_column(&self, place: Place) -> (usize, usize) {
        let text = self.text(place.source);
        let before = text.get(..floor(text, place.start)).unwrap_or(text);
        let before = before.strip_prefix(MARK).unwrap_or(before);
        let line = 1 + before.matches('\n').count();
        let last = before.rsplit('\n').next().unwrap_or(before);
        (line, 1 + last.chars().count())
    }

    /// The words at a place.
    pub fn quote(&self, place: Place) -> &str {
        let text = self.text(place.source);
        text.get(self.bytes(place)).unwrap_or("")
    }

    /// The whole lines that hold some places, as bytes without a byte-order
    /// mark, and the number of the first line from 1.
    pub(super) fn lines_about(
        &self,
        id: SourceId,
        places: impl Iterator<Item = Place> + Clone,
    ) -> (std::ops::Range<usize>, usize) {
        let text = self.text(id);
        let start = places.clone().map(|place| self.bytes(place).start).min();
        let end = places.map(|place| self.bytes(place).end).max();
        let (before, _) = text.split_at(start.unwrap_or(0));
        let (_, after) = text.split_at(end.unwrap_or(text.len()));
        let mark = text.len() - text.strip_prefix(MARK).unwrap_or(text).len();
        let first = before.rfind('\n').map_or(mark, |line_break| line_break + 1);
        let last = text.len() - after.len() + after.find('\n').unwrap_or(after.len());
        (first..last, 1 + before.matches('\n').count())
    }

    /// The bytes of a place, cut to the text and to whole characters.
    pub(super) fn bytes(&self, place: Place) -> std::ops::Range<usize> {
        let text = self.text(place.source);
        let mark = text.len() - text.strip_prefix(MARK).unwrap_or(text).len();
        let (start, end) = (floor(text, place.start), floor(text, place.end));
        let start = start.max(mark);
        start..end.max(start)
    }
}

/// The nearest boundary between characters at or before a byte.
fn floor(text: &str, byte: usize) -> usize {
    let mut byte = byte.min(text.len());
    while !text.is_char_boundary(byte) {
        byte -= 1;
    }
    byte
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(start: usize, end: usize) -> Place {
        Place {
            source: SourceId(0),
            start,
            end,
        }
    }

    #[test]
    fn columns_count_characters() {
        let mut sources = Sources::new();
        let id = sources.add("a.ron", "x\n\"0.4 m³\" y");
        assert_eq!(sources.name(id), "a.ron");
        let y = sources.text(id).find('y').unwrap();
        assert_eq!(sources.line_column(place(y, y + 1)), (2, 10));
        assert_eq!(sources.quote(place(y, y + 1)), "y");
    }

    #[test]
    fn a_byte_order_mark_is_no_column() {
        let mut sources = Sources::new();
        sources.add("a.ron", "\u{feff}Design()");
        assert_eq!(sources.line_column(place(3, 9)), (1, 1));
        assert_eq!(sources.line_column(place(0, 0)), (1, 1));
    }

    #[test]
    fn places_outside_or_inside_a_character_are_cut() {
        let mut sources = Sources::new();
        sources.add("a.ron", "m³");
        assert_eq!(sources.quote(place(0, 2)), "m");
        assert_eq!(sources.quote(place(1, 99)), "³");
        assert_eq!(sources.quote(place(9, 3)), "");
        let lost = Place {
            source: SourceId(7),
            start: 1,
            end: 2,
        };
        assert_eq!(sources.line_column(lost), (1, 1));
    }
}
