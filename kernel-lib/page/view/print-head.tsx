import { useEffect } from 'preact/hooks';

const quoted = (text: string) =>
  `"${text.replace(/["\\\n\r\f<]/g, (letter) => `\\${letter.charCodeAt(0).toString(16)} `)}"`;

/** On paper every page names the sheet and the student, so that loose pages find back to their author. */
export function PrintHead({ title, student }: { title: string; student: string | undefined }) {
  const whose = student ? `Student number ${student}` : 'Student number: ____________';
  useEffect(() => {
    const style = new CSSStyleSheet();
    style.replaceSync(
      `@page { @top-left { content: ${quoted(title)}; } @top-right { content: ${quoted(`${whose} · page `)} counter(page); } }`,
    );
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, style];
    return () => {
      document.adoptedStyleSheets = document.adoptedStyleSheets.filter((each) => each !== style);
    };
  }, [title, whose]);
  return (
    <p class="print-head" aria-hidden="true">
      {whose}
    </p>
  );
}
