//! The command that made a page, so that it can be made again.

/// The command line word by word, as it would be typed in a shell; the program is always `offing`.
pub(super) fn typed_command() -> Vec<String> {
    let arguments = std::env::args_os().skip(1);
    std::iter::once("offing".to_owned())
        .chain(arguments.map(|argument| {
            let argument = argument.to_string_lossy();
            // No shell can be given a nul byte, so no argument holds one.
            shlex::try_quote(&argument).map_or_else(|_| argument.to_string(), Into::into)
        }))
        .collect()
}
