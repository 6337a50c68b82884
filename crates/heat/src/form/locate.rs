//! The line of a field in a JSON text that has already been read.

/// The line, from 1, of the value at `path` (`phases[2].top.to_c`); a path that
/// goes deeper than the text gives the deepest place found.
pub(super) fn line(text: &str, path: &str) -> Option<usize> {
    let mut at = Scanner { bytes: text.as_bytes(), at: 0 };
    let mut found = None;
    for step in steps(path) {
        if at.enter(&step).is_none() {
            break;
        }
        found = Some(at.at);
    }
    found.map(|end| 1 + text.as_bytes()[..end.min(text.len())].iter().filter(|&&b| b == b'\n').count())
}

enum Step {
    Key(String),
    Index(usize),
}

fn steps(path: &str) -> Vec<Step> {
    let mut steps = Vec::new();
    // What a refusal adds in words after the path is not part of it.
    let path = path.split(' ').next().unwrap_or("");
    for part in path.split('.').filter(|p| !p.is_empty()) {
        let mut pieces = part.split('[');
        if let Some(key) = pieces.next().filter(|k| !k.is_empty()) {
            steps.push(Step::Key(key.to_owned()));
        }
        let indices = pieces.filter_map(|p| p.trim_end_matches(']').parse().ok());
        steps.extend(indices.map(Step::Index));
    }
    steps
}

/// Walks JSON that is known to be well formed; gives up quietly otherwise.
struct Scanner<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Scanner<'_> {
    /// Moves from the start of a value to the start of a part of it.
    fn enter(&mut self, step: &Step) -> Option<()> {
        self.space();
        match (step, self.bytes.get(self.at)?) {
            (Step::Key(key), b'{') => self.member(key),
            (Step::Index(index), b'[') => self.element(*index),
            _ => None,
        }
    }

    fn member(&mut self, key: &str) -> Option<()> {
        self.at += 1;
        loop {
            self.space();
            if self.bytes.get(self.at)? != &b'"' {
                return None;
            }
            let start = self.at + 1;
            self.skip();
            let same = self.bytes.get(start..self.at.checked_sub(1)?)? == key.as_bytes();
            self.space();
            self.at += 1;
            self.space();
            if same {
                return Some(());
            }
            self.skip();
            self.comma()?;
        }
    }

    fn element(&mut self, index: usize) -> Option<()> {
        self.at += 1;
        for _ in 0..index {
            self.skip();
            self.comma()?;
        }
        self.space();
        (self.bytes.get(self.at)? != &b']').then_some(())
    }

    fn comma(&mut self) -> Option<()> {
        self.space();
        (self.bytes.get(self.at)? == &b',').then(|| self.at += 1)
    }

    fn space(&mut self) {
        while self.bytes.get(self.at).is_some_and(u8::is_ascii_whitespace) {
            self.at += 1;
        }
    }

    /// Past one whole value.
    fn skip(&mut self) {
        self.space();
        let mut depth = 0_usize;
        while let Some(&byte) = self.bytes.get(self.at) {
            match byte {
                b'"' => self.string(),
                b'{' | b'[' => depth += 1,
                b'}' | b']' if depth == 0 => return,
                b'}' | b']' => depth -= 1,
                b',' | b':' if depth == 0 => return,
                b if b.is_ascii_whitespace() && depth == 0 => return,
                _ => {}
            }
            self.at += 1;
            if depth == 0 && matches!(byte, b'"' | b'}' | b']') {
                return;
            }
        }
    }

    /// From an opening quote to its closing one.
    fn string(&mut self) {
        self.at += 1;
        while let Some(&byte) = self.bytes.get(self.at) {
            match byte {
                b'"' => return,
                b'\\' => self.at += 2,
                _ => self.at += 1,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::line;

    #[test]
    fn finds_the_line() {
        let text = "{\n \"a\": [1,\n  {\"b\": \"x]\\\"\",\n   \"c\": 2}],\n \"d\": null }";
        for (path, expected) in
            [("a", 2), ("a[0]", 2), ("a[1]", 3), ("a[1].c", 4), ("d", 5), ("a[1].zzz", 3), ("a[1].c (high)", 4)]
        {
            assert_eq!(line(text, path), Some(expected), "{path}");
        }
        assert_eq!(line(text, "zzz"), None);
        assert_eq!(line("", "a"), None);
        assert_eq!(line("{\"", "a"), None);
    }
}
