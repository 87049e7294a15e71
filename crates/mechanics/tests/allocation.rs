//! The evaluation allocates nothing once its scratch is made.

mod common;

use common::*;
use kinematics::Linkage;
use leanwright_mechanics::{Answer, Plan};
use std::alloc::{GlobalAlloc, Layout, System};
use std::sync::atomic::{AtomicUsize, Ordering};

/// The system's allocator, counting.
struct Counting;

static ALLOCATIONS: AtomicUsize = AtomicUsize::new(0);

#[allow(unsafe_code)]
// SAFETY: every call is handed on to the system's allocator unchanged.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        ALLOCATIONS.fetch_add(1, Ordering::Relaxed);
        unsafe { System.alloc(layout) }
    }
    unsafe fn dealloc(&self, pointer: *mut u8, layout: Layout) {
        unsafe { System.dealloc(pointer, layout) }
    }
}

#[global_allocator]
static COUNTING: Counting = Counting;

/// One test in this file: the count is of the whole process.
#[test]
fn evaluation_allocates_nothing() {
    let asks = everything();
    let mut lopsided = hauler();
    lopsided.right.rod_outer.y -= 1.0;
    let mut limited = settings();
    limited.ball_joint_limit_deg = Some(20.0);
    limited.rod_end_limit_deg = Some(40.0);
    for settings in [settings(), limited] {
        let plan = Plan::new(&asks, &settings).expect("the asks make sense");
        let mut scratch = plan.scratch();
        let mut answers = vec![Answer::default(); asks.len()];
        for machine in [hauler(), lopsided] {
            let linkage = Linkage::new(&machine).expect("assembles");
            let before = ALLOCATIONS.load(Ordering::Relaxed);
            plan.evaluate(&linkage, &mut scratch, &mut answers);
            let after = ALLOCATIONS.load(Ordering::Relaxed);
            assert_eq!(after - before, 0);
            assert!(
                answers.iter().any(|a| a.value > 1.0),
                "something was computed"
            );
        }
    }
}
