import { firefox } from './engines';
import { everyEngine } from './every-engine';

everyEngine(firefox());
