import { similarityClusters } from '../../kernel-lib/marking/similarity';
import { seeded } from '../../kernel-lib/numerics/random';

// Time to find the returns that are alike, as the answers to one sheet grow: ten times as many should take ten times
// as long, but for the logarithm of sorting. The baseline is the time of the fewer, each.
const [few, many] = (process.env.SIZES ?? '1000,10000').split(',').map(Number);

function returnsOf(count: number) {
  return Array.from({ length: count }, (_, i) => {
    const random = seeded(`alike growth ${i}`);
    const parts = Array.from({ length: 8 }, (__, q) => ({
      isCode: true,
      text: `const value${random.whole(4)} = given.q${q}.length * ${(10 * random.uniform()).toPrecision(4)};
const answer = Math.asin(value / given.q${q}.width) / degrees(${random.whole(9)}) + own${random.whole(1e6)}(value);`,
    }));
    return { student: String(100_000 + i), parts };
  });
}

function timeFor(count: number): number {
  const returns = returnsOf(count);
  const began = performance.now();
  similarityClusters(returns, []);
  return (performance.now() - began) / 1000;
}

export default async function bench() {
  timeFor(few);
  const [baseline, ours] = [timeFor(few) / few, timeFor(many) / many];
  return {
    name: 'alike-growth',
    ours,
    baseline,
    ratio: baseline / ours,
    aim: 0.5,
    note: `time for each of ${many} answers against each of ${few}`,
  };
}
