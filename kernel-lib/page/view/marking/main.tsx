import { render } from 'preact';
import { MarkingPage } from './marking-page';

/** The page on which an instructor looks through the marks of a class. */
render(<MarkingPage />, document.getElementById('app')!);
