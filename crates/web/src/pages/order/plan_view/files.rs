//! Papers and files.

use super::Show;

pub(in crate::pages::order) struct FileView {
    pub address: String,
    pub name: String,
    pub size: String,
}

impl Show<'_> {
    /// The papers by what they are called among people.
    pub(super) fn papers(&self) -> Vec<FileView> {
        let w = self.w;
        let called: [(&str, &'static str); 10] = [
            ("papers/quote-", "web.paper-quote"),
            ("papers/job-tickets-", "web.paper-job-tickets"),
            ("papers/purchase-list", "web.paper-purchase-list"),
            ("papers/press-plan", "web.paper-press-plan"),
            ("papers/sheet-map", "web.paper-sheet-map"),
            ("papers/place-templates-", "web.paper-place-templates"),
            ("papers/packing-list-", "web.paper-packing-list"),
            ("papers/care-slips-", "web.paper-care-slips"),
            ("papers/costing-", "web.paper-costing"),
            ("papers/test-record-", "web.paper-test-record"),
        ];
        let own = format!("-{}.pdf", self.at + 1);
        let of = |(prefix, words): &(&str, &'static str)| {
            let mine = |name: &str| name.starts_with(prefix) && (!prefix.ends_with('-') || name.ends_with(&own));
            let file = self.kept.form.files.iter().find(|file| mine(&file.name))?;
            Some(FileView { name: w.t(words), ..self.file_view(file) })
        };
        called.iter().filter_map(of).collect()
    }

    fn file_view(&self, file: &store::form::NamedFile) -> FileView {
        FileView {
            address: format!("/orders/{}/file/{}", self.order.id, file.name),
            name: words::clean(&file.name),
            size: bytes_said(file.bytes),
        }
    }

    /// Every file of the plan, by what it is for.
    pub(super) fn other_files(&self) -> Vec<(String, Vec<FileView>)> {
        let groups: [(&[&str], &'static str); 4] = [
            (&["sheets/", "cut/"], "web.files-to-make"),
            (&["maps/", "layouts/", "schedule/", "plan.json", "summary.txt"], "web.files-figures"),
            (&["papers/"], "web.files-papers"),
            (&["pictures/"], "web.files-pictures"),
        ];
        let of = |(starts, words): &(&[&str], &'static str)| {
            // What stands on the page as a picture need not be listed once more.
            let seen = ["garment-", "sheet-", "timeline-", "window-", "bond-", "out-of-reach-", "nearest-"];
            let shown = |name: &str| {
                seen.iter().any(|start| name.strip_prefix("pictures/").is_some_and(|n| n.starts_with(start)))
            };
            let mine = |name: &str| starts.iter().any(|start| name.starts_with(start)) && !shown(name);
            let mut files: Vec<&store::form::NamedFile> =
                self.kept.form.files.iter().filter(|file| mine(&file.name)).collect();
            files.sort_by(|a, b| a.name.cmp(&b.name));
            let views: Vec<FileView> = files.into_iter().map(|file| self.file_view(file)).collect();
            (!views.is_empty()).then(|| (self.w.t(words), views))
        };
        groups.iter().filter_map(of).collect()
    }
}

/// A file's size.
pub(crate) fn bytes_said(bytes: u64) -> String {
    match bytes {
        0..=999_999 => format!("{} kB", bytes.div_ceil(1000)),
        _ => format!("{:.1} MB", bytes as f64 / 1e6),
    }
}
