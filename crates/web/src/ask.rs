//! A request as handlers see it: path, query, fields and files, read once.

use axum::body::Bytes;
use axum::extract::{FromRequest as _, Multipart, Request};
use axum::http::header;

/// A request, read.
#[derive(Debug, Default)]
pub(crate) struct Ask {
    /// Parts of the address that vary, in order.
    pub path: Vec<String>,
    /// What follows the question mark.
    pub query: Fields,
    /// Fields of a form.
    pub fields: Fields,
    /// Files of a form.
    pub files: Vec<Upload>,
    /// The cookie's secret, where there is one.
    pub cookie: Option<String>,
    /// Whether a script asks, which wants no page back.
    pub by_script: bool,
}

/// Named texts; a name may come several times.
#[derive(Debug, Default, Clone)]
pub(crate) struct Fields(pub Vec<(String, String)>);

/// A file that was put in.
#[derive(Debug, Clone)]
pub(crate) struct Upload {
    /// Name of its field.
    pub field: String,
    /// Name as the sender's machine has it, untrusted.
    pub name: String,
    pub bytes: Bytes,
}

impl Fields {
    /// The first text of a name, trimmed; empty when there is none.
    pub fn get(&self, name: &str) -> &str {
        self.0.iter().find(|(known, _)| known == name).map_or("", |(_, text)| text.trim())
    }

    /// As it was typed, spaces and all.
    pub fn raw(&self, name: &str) -> &str {
        self.0.iter().find(|(known, _)| known == name).map_or("", |(_, text)| text)
    }

    pub fn has(&self, name: &str) -> bool {
        self.0.iter().any(|(known, _)| known == name)
    }

    pub fn number(&self, name: &str) -> Option<i64> {
        self.get(name).parse().ok()
    }

    /// A decimal number; a comma is as good as a point.
    pub fn decimal(&self, name: &str) -> Option<f64> {
        self.get(name).replace(',', ".").parse().ok().filter(|number: &f64| number.is_finite())
    }
}

impl Ask {
    /// The nth varying part of the address.
    pub fn part(&self, at: usize) -> &str {
        self.path.get(at).map_or("", String::as_str)
    }

    /// The version of the record that the person saw.
    pub fn version(&self) -> i64 {
        self.fields.number("version").unwrap_or(0)
    }
}

/// Fields that a form may have, and files.
const MOST_FIELDS: usize = 2000;
const MOST_FILES: usize = 24;

/// The fields and files of a body of a known kind.
pub(crate) async fn read_body(request: Request) -> Option<(Fields, Vec<Upload>)> {
    let kind = request.headers().get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or("").to_owned();
    if kind.starts_with("multipart/form-data") {
        return read_parts(Multipart::from_request(request, &()).await.ok()?).await;
    }
    if kind.starts_with("application/x-www-form-urlencoded") {
        let axum::Form(fields) = axum::Form::<Vec<(String, String)>>::from_request(request, &()).await.ok()?;
        return (fields.len() <= MOST_FIELDS).then_some((Fields(fields), Vec::new()));
    }
    None
}

async fn read_parts(mut parts: Multipart) -> Option<(Fields, Vec<Upload>)> {
    let (mut fields, mut files) = (Vec::new(), Vec::new());
    while let Some(part) = parts.next_field().await.ok()? {
        let field = part.name()?.to_owned();
        match part.file_name().map(str::to_owned) {
            Some(name) => {
                let bytes = part.bytes().await.ok()?;
                // An empty choice of files is sent as one file without a name.
                if !name.is_empty() {
                    files.push(Upload { field, name, bytes });
                }
            }
            None => fields.push((field, part.text().await.ok()?)),
        }
        if fields.len() > MOST_FIELDS || files.len() > MOST_FILES {
            return None;
        }
    }
    Some((Fields(fields), files))
}
