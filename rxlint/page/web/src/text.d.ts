/** A Python module that the bundle holds as text. */
declare module "*.py" {
  const text: string;
  export default text;
}
