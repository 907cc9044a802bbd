/** Strings as nobody should type them. Every door that lets words in is tried with all of them. */
export const hostile: { readonly [what: string]: string } = {
  'twenty thousand letters': 'W'.repeat(20_000),
  'twenty thousand marks on one letter': `a${'\u0301'.repeat(20_000)}`,
  'a zero, a bell and an escape': 'Sand\0hop\x07per\x1b[31m',
  'characters that XML cannot hold': 'a\uFFFEb\uFFFFc\u{1FFFE}',
  'half a surrogate pair': 'trou\uD800ble \uDC00',
  'a line that turns round': 'abc \u202Edesrever\u202C \u2066x\u2069',
  'zero-width characters': 'a\u200Bb\u200Cc\u200Dd\uFEFFe\u2060f\u00ADg',
  'marks piled on marks':
    'Z\u0351\u036B\u0343\u036A\u0302\u034B\u0310A\u0334\u0335\u0336\u0337L\u0321\u0322\u0327\u0328G\u033A\u033B\u0347\u0348O',
  markup: '</text><script>alert(1)</script><image href="file:///etc/passwd"/>&amp;&#0;',
  'an entity bomb': '<!DOCTYPE svg [<!ENTITY a "aaaaaaaa"><!ENTITY b "&a;&a;&a;">]>&b;',
  'braces of a template': '{{{constructor}}} {{lookup this "__proto__"}} {{> text}}',
  quotes: `"'\`=<>&`,
  'lines and tabs': 'one\ntwo\r\nthree\tfour\u2028five\u2029six',
  'a flag, a family and a tag': '🏴󠁧󠁢󠁳󠁣󠁴󠁿 👨‍👩‍👧‍👦 🇨🇭',
  'other scripts': 'שלום عَرَبِيّ Ελληνικά Привет 砂漠 ทราย',
  'a prototype': '__proto__',
  'chat markup': '**bold** __u__ ~~s~~ ||spoiler|| `code` # head > quote [link](https://example.org) <@1234> <@&5> <#6> @everyone @here',
  'only spaces': '   \t \n ',
  nothing: '',
};
