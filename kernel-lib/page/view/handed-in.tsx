import type { HandedIn } from '../../travels/handed-in';

const moment = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeStyle: 'short' });

/** When the file to hand in was made, and whether it still is what stands in the sheet. */
export function HandedInWords({ handedIn }: { handedIn: HandedIn }) {
  return (
    <p class="handed-in" data-changed={handedIn.changed}>
      <b>Handed in:</b> file made {moment.format(new Date(handedIn.at))}.
      {handedIn.changed && ' Changed since: make it again if that is to count.'}
    </p>
  );
}
