// Against a mutant one counterexample is enough; a smaller one would cost hundreds of runs more.
import fc from 'fast-check';

fc.configureGlobal({ endOnFailure: true });
