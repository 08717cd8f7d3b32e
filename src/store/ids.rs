//! Row ids, one type a table, so that one cannot be taken for another.

macro_rules! ids {
    ($($(#[$meta:meta])* $name:ident;)*) => {
        $(
            $(#[$meta])*
            #[derive(
                Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, sqlx::Type, serde::Serialize, serde::Deserialize,
            )]
            #[sqlx(transparent)]
            #[serde(transparent)]
            pub struct $name(pub i64);

            impl std::fmt::Display for $name {
                fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                    self.0.fmt(f)
                }
            }
        )*
    };
}

ids! {
    /// A coach or a member.
    PersonId;
    /// A group.
    GroupId;
    /// A one-time link.
    LinkId;
    /// A place in a group's week.
    SessionId;
    /// A published version of a session.
    VersionId;
    /// An uploaded file.
    MediaId;
    /// A result.
    ResultId;
    /// A known max.
    MaxId;
    /// A question.
    QuestionId;
    /// A line that the coach chose for some members.
    PinId;
    /// A token for a program.
    TokenId;
    /// A passkey.
    PasskeyId;
}
