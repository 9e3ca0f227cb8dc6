import { chromium, firefox, webkit } from './engines';
import { wholePage } from './whole-page';

for (const engine of [chromium, firefox, webkit]) wholePage(engine());
