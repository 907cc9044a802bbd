/** Property tests draw the same cases in every run, so that a red run says something of the change. FC_SEED=… draws others. */
import fc from 'fast-check';

fc.configureGlobal({ seed: Number(process.env.FC_SEED ?? 20260614) });
