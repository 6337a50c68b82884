//! What an order waits for.

use crate::codes;
use report::Code;

/// What an order waits for. Time makes some of it late; see `listing`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// To be planned, or planned anew after a change.
    ToPlan,
    /// A line cannot be made, or waits for an answer of the shop.
    NeedsAnswer,
    /// The quote is to be sent.
    ToQuote,
    /// The customer wished for something else.
    ChangeWished,
    /// The customer is to sign off or to pay the deposit.
    WaitingOnCustomer,
    /// Transfers and garments are to be ordered before the cut-off.
    OrderBeforeCutOff,
    /// Ordered, not yet there.
    WaitingForGoods,
    /// Everything is there.
    Arrived,
    /// Pressing is to begin.
    PressNow,
    /// Pressed, to be handed over.
    ToHandOver,
    /// Handed over, to be paid.
    ToBePaid,
    /// What had to happen by now has not.
    Late,
    /// Handed over and paid.
    Done,
    /// Will not be made.
    Dropped,
}

impl Stage {
    /// All of them, the first to act on first.
    pub const ALL: [Self; 14] = [
        Self::Late,
        Self::OrderBeforeCutOff,
        Self::PressNow,
        Self::ChangeWished,
        Self::NeedsAnswer,
        Self::ToPlan,
        Self::ToQuote,
        Self::WaitingOnCustomer,
        Self::Arrived,
        Self::WaitingForGoods,
        Self::ToHandOver,
        Self::ToBePaid,
        Self::Done,
        Self::Dropped,
    ];

    /// The word it is kept and asked for under.
    pub fn word(self) -> &'static str {
        match self {
            Self::ToPlan => "to-plan",
            Self::NeedsAnswer => "needs-answer",
            Self::ToQuote => "to-quote",
            Self::ChangeWished => "change-wished",
            Self::WaitingOnCustomer => "waiting-on-customer",
            Self::OrderBeforeCutOff => "order-before-cut-off",
            Self::WaitingForGoods => "waiting-for-goods",
            Self::Arrived => "arrived",
            Self::PressNow => "press-now",
            Self::ToHandOver => "to-hand-over",
            Self::ToBePaid => "to-be-paid",
            Self::Late => "late",
            Self::Done => "done",
            Self::Dropped => "dropped",
        }
    }

    /// The stage of a word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|stage| stage.word() == word)
    }

    /// Its phrase for people, as a term of `words`.
    pub fn term(self) -> Code {
        match self {
            Self::ToPlan => codes::WAITS_TO_PLAN,
            Self::NeedsAnswer => codes::WAITS_NEEDS_ANSWER,
            Self::ToQuote => codes::WAITS_TO_QUOTE,
            Self::ChangeWished => codes::WAITS_CHANGE_WISHED,
            Self::WaitingOnCustomer => codes::WAITS_ON_CUSTOMER,
            Self::OrderBeforeCutOff => codes::WAITS_ORDER_BEFORE,
            Self::WaitingForGoods => codes::WAITS_FOR_GOODS,
            Self::Arrived => codes::WAITS_ARRIVED,
            Self::PressNow => codes::WAITS_PRESS_NOW,
            Self::ToHandOver => codes::WAITS_TO_HAND_OVER,
            Self::ToBePaid => codes::WAITS_TO_BE_PAID,
            Self::Late => codes::WAITS_LATE,
            Self::Done => codes::WAITS_DONE,
            Self::Dropped => codes::WAITS_DROPPED,
        }
    }

    /// Whether anything is left to do.
    pub fn open(self) -> bool {
        !matches!(self, Self::Done | Self::Dropped)
    }
}
