import { chromium } from './engines';
import { everyEngine } from './every-engine';

everyEngine(chromium());
