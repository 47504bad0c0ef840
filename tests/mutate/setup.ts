import fc from 'fast-check';

/**
 * Under mutation every property runs some hundred times, so each gets a short time and always the same
 * sequence: a mutant that only rare luck would find counts as alive and asks for a test of its own.
 */
fc.configureGlobal({ seed: 1, interruptAfterTimeLimit: 300, markInterruptAsFailure: false });
