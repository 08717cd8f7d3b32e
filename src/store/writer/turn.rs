//! A turn at writing.

use super::{Pen, Seat, Trouble, Writer};
use std::ops::{Deref, DerefMut};
use tokio::sync::{OwnedMutexGuard, oneshot};

/// A turn at writing. Dropped without [`Write::commit`], what was written in it is taken back.
pub(crate) struct Write {
    pub(super) seat: Option<OwnedMutexGuard<Seat>>,
    pub(super) writer: Writer,
}

impl Write {
    /// Once its savepoint is open.
    pub(super) async fn entered(mut self) -> Result<Self, Trouble> {
        let Some(seat) = self.seat.as_mut() else { return Err(Trouble::Busy) };
        if let Err(e) = seat.enter().await {
            let trouble = self.writer.note(&e, seat.first_trouble());
            seat.lose(&trouble).await;
            // there is no savepoint to end
            self.seat = None;
            return Err(trouble);
        }
        Ok(self)
    }

    /// Comes back once what was written is on the disk.
    pub(crate) async fn commit(mut self) -> Result<(), Trouble> {
        let (told, tells) = oneshot::channel();
        if let Some(seat) = self.seat.take() {
            // on its own task, so that a client who leaves now does not leave others without their commit
            tokio::spawn(self.writer.clone().settle(seat, Some(told)));
        }
        tells.await.unwrap_or(Err(Trouble::Busy))
    }
}

impl Drop for Write {
    fn drop(&mut self) {
        if let Some(seat) = self.seat.take()
            && let Ok(runtime) = tokio::runtime::Handle::try_current()
        {
            runtime.spawn(self.writer.clone().settle(seat, None));
        }
    }
}

impl Deref for Write {
    type Target = Pen;

    #[expect(clippy::expect_used, reason = "begin gives no turn on a closed connection")]
    fn deref(&self) -> &Pen {
        self.seat.as_ref().and_then(|s| s.pen.as_ref()).expect("the connection is open during a turn")
    }
}

impl DerefMut for Write {
    #[expect(clippy::expect_used, reason = "begin gives no turn on a closed connection")]
    fn deref_mut(&mut self) -> &mut Pen {
        self.seat.as_mut().and_then(|s| s.pen.as_mut()).expect("the connection is open during a turn")
    }
}
