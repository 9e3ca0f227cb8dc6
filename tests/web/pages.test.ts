import { chromium, webkit } from './engines';
import { wholePage } from './whole-page';

for (const engine of [chromium, webkit]) wholePage(engine());
