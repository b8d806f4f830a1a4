/** Pages of a PDF: its page objects (ISO 32000-1, 7.7.3.3), which Chromium writes outside of compressed streams. */
export function pdfPages(pdf: Buffer): number {
  if (!pdf.subarray(0, 5).equals(Buffer.from('%PDF-'))) throw new Error('It is no PDF.');
  return pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
}
