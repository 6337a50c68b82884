//! Places in the shop's lists. They are made only while a shop is checked, so
//! each names something that exists in the shop it came from.

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub(crate) usize);

        impl $name {
            /// Its place in the shop's list, from 0.
            pub fn index(self) -> usize {
                self.0
            }
        }
    )* };
}

ids!(
    /// A cloth of the shop.
    ClothId,
    /// A garment style of the shop.
    GarmentId,
    /// A transfer on the shelf.
    TransferId,
    /// A stock item: a sheet size or a roll.
    StockId,
    /// A supplier.
    SupplierId,
    /// A press.
    PressId,
    /// A lower platen.
    PlatenId,
    /// A pad, pillow or cover sheet.
    AccessoryId,
    /// A person who works.
    PersonId,
);
