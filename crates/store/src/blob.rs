//! Bytes by their SHA-256 (FIPS 180-4): art as it came, files as they were made.

use crate::database::Store;
use crate::error::StoreError;
use sha2::{Digest as _, Sha256};
use sqlx::{AnyConnection, Row as _};

/// Bytes to be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Blob {
    /// Their hash, 64 lower-case hexadecimal digits.
    pub hash: String,
    /// The bytes.
    pub bytes: Vec<u8>,
}

impl Blob {
    /// Bytes with their hash.
    pub fn new(bytes: Vec<u8>) -> Self {
        Self { hash: hash_of(&bytes), bytes }
    }
}

/// The SHA-256 of bytes as 64 lower-case hexadecimal digits.
pub fn hash_of(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

impl Store {
    /// Keeps bytes; those kept already are not written again.
    pub fn keep(&self, blobs: &[Blob]) -> Result<(), StoreError> {
        self.write(async |db| keep(db, blobs).await)
    }

    /// The bytes of a hash, checked against it.
    pub fn bytes(&self, hash: &str) -> Result<Vec<u8>, StoreError> {
        let row = self.read(async |db| {
            Ok(sqlx::query("SELECT bytes FROM blob WHERE hash = $1").bind(hash).fetch_optional(db).await?)
        })?;
        let Some(row) = row else { return Err(StoreError::Missing { what: format!("file {hash}") }) };
        let bytes: Vec<u8> = row.try_get(0)?;
        if hash_of(&bytes) == hash {
            Ok(bytes)
        } else {
            Err(StoreError::Damaged { cause: format!("the bytes of {hash} are not what was put in") })
        }
    }
}

pub(crate) async fn keep(db: &mut AnyConnection, blobs: &[Blob]) -> Result<(), StoreError> {
    for blob in blobs {
        let size = i64::try_from(blob.bytes.len()).unwrap_or(i64::MAX);
        let query = "INSERT INTO blob (hash, size, bytes) VALUES ($1, $2, $3) ON CONFLICT (hash) DO NOTHING";
        sqlx::query(query).bind(&blob.hash).bind(size).bind(blob.bytes.clone()).execute(&mut *db).await?;
    }
    Ok(())
}
