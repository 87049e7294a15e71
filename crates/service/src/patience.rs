//! A stream that gives up on a peer who stops taking what is written.
//!
//! Heads and bodies that come too slowly are cut off elsewhere; this is the other direction. A
//! caller who opens a connection and never reads would otherwise hold it for ever.

use std::future::Future;
use std::io::{Error, ErrorKind, IoSlice, Result};
use std::pin::Pin;
use std::task::{Context, Poll};
use std::time::Duration;

use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::time::{Instant, Sleep, sleep};

/// A stream whose writes fail when the peer takes nothing for as long as `limit`.
#[derive(Debug)]
pub struct Patient<S> {
    stream: S,
    limit: Duration,
    /// Runs while a write is waiting.
    timer: Option<Pin<Box<Sleep>>>,
}

impl<S> Patient<S> {
    /// Bounds the writes on `stream`.
    pub fn new(stream: S, limit: Duration) -> Self {
        Self {
            stream,
            limit,
            timer: None,
        }
    }

    fn bound<T>(&mut self, write: Poll<Result<T>>, context: &mut Context<'_>) -> Poll<Result<T>> {
        if write.is_ready() {
            self.timer = None;
            return write;
        }
        let limit = self.limit;
        let timer = self.timer.get_or_insert_with(|| Box::pin(sleep(limit)));
        match timer.as_mut().poll(context) {
            Poll::Ready(()) => {
                timer.as_mut().reset(Instant::now() + limit);
                Poll::Ready(Err(Error::from(ErrorKind::TimedOut)))
            }
            Poll::Pending => Poll::Pending,
        }
    }
}

impl<S: AsyncRead + Unpin> AsyncRead for Patient<S> {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<Result<()>> {
        Pin::new(&mut self.stream).poll_read(context, buffer)
    }
}

impl<S: AsyncWrite + Unpin> AsyncWrite for Patient<S> {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<Result<usize>> {
        let write = Pin::new(&mut self.stream).poll_write(context, bytes);
        self.bound(write, context)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[IoSlice<'_>],
    ) -> Poll<Result<usize>> {
        let write = Pin::new(&mut self.stream).poll_write_vectored(context, bytes);
        self.bound(write, context)
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Result<()>> {
        let flush = Pin::new(&mut self.stream).poll_flush(context);
        self.bound(flush, context)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Result<()>> {
        let shutdown = Pin::new(&mut self.stream).poll_shutdown(context);
        self.bound(shutdown, context)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use tokio::io::{AsyncReadExt, AsyncWriteExt, duplex};

    #[tokio::test(start_paused = true)]
    async fn a_peer_that_takes_nothing_is_given_up_and_a_slow_one_is_not() {
        let limit = Duration::from_secs(30);
        let (near, mut far) = duplex(4);
        let mut near = Patient::new(near, limit);
        near.write_all(b"full").await.unwrap();
        let slow = tokio::spawn(async move {
            for _ in 0..8 {
                sleep(limit / 2).await;
                far.read_u8().await.unwrap();
            }
            far
        });
        near.write_all(b"slow").await.unwrap();
        let far = slow.await.unwrap();
        near.write_all(b"full").await.unwrap();
        let refused = near.write_all(b"more").await.unwrap_err();
        assert_eq!(refused.kind(), ErrorKind::TimedOut);
        drop(far);
    }
}
