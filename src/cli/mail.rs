//! `dowel mail`: sends one mail with the settings of `dowel serve`, to see that they work.

use super::out;
use crate::config::Config;
use crate::mail::Post;
use anyhow::Context;
use clap::Args;

/// To whom.
#[derive(Args)]
pub struct MailArgs {
    /// Address that gets it
    #[arg(long)]
    to: String,
    #[command(flatten)]
    config: Config,
}

/// Sends it.
///
/// # Errors
/// Settings that do not fit together, or a server that does not take it.
pub async fn run(args: MailArgs) -> anyhow::Result<()> {
    let to = args.to.parse().with_context(|| format!("{:?} is no mail address", args.to))?;
    let site = args.config.public_address();
    let post = Post::open(&args.config.mail, &site)?.context("no mail server is set: DOWEL_SMTP_HOST names one")?;
    let text = format!("This is Dowel at {site}. Mail works: links for forgotten passwords can be sent.\r\n");
    post.send(to, "Dowel can send mail", &text).await.context("the mail was not sent")?;
    out::say("Sent. See whether it arrives, and not among unwanted mail.")
}
