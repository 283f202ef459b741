"""The grammar of the rule language, for lark's LALR parser: a subset of the Common Expression Language.

Source: Common Expression Language specification, language definition, "Syntax". Left out: maps, messages,
bytes, unsigned numbers, null; the parser names them when it meets them. Loaded only by `parsing`.
"""

from __future__ import annotations

GRAMMAR = r"""
?start: expression

?expression: disjunction
           | disjunction "?" disjunction ":" expression -> choice

?disjunction: conjunction ("||" conjunction)*
?conjunction: relation ("&&" relation)*

?relation: addition
         | relation RELATION_SIGN addition -> binary
         | relation IN addition -> binary

?addition: multiplication
         | addition (PLUS | MINUS) multiplication -> binary

?multiplication: unary
               | multiplication PRODUCT_SIGN unary -> binary

?unary: member
      | nots member
      | minuses member

nots: NOT+
minuses: MINUS+

?member: primary
       | member "." IDENTIFIER -> select
       | member "." IDENTIFIER "(" [_arguments] CLOSE -> member_call
       | member "[" expression CLOSE_LIST -> index

?primary: IDENTIFIER -> name
        | IDENTIFIER "(" [_arguments] CLOSE -> call
        | OPEN expression CLOSE -> group
        | OPEN_LIST CLOSE_LIST -> list
        | OPEN_LIST expression ("," expression)* [","] CLOSE_LIST -> list
        | FLOAT -> float
        | INTEGER -> integer
        | TEXT -> text
        | RAW_TEXT -> raw_text
        | TRUE -> true
        | FALSE -> false

_arguments: expression ("," expression)*

RELATION_SIGN: "==" | "!=" | "<=" | ">=" | "<" | ">"
PRODUCT_SIGN: "*" | "/" | "%"
PLUS: "+"
MINUS: "-"
NOT: "!"
OPEN: "("
CLOSE: ")"
OPEN_LIST: "["
CLOSE_LIST: "]"
IN: "in"
TRUE: "true"
FALSE: "false"
IDENTIFIER: /[_a-zA-Z][_a-zA-Z0-9]*/
FLOAT.2: /([0-9]+\.[0-9]+|\.[0-9]+)([eE][+-]?[0-9]+)?(?![_a-zA-Z0-9])/
       | /[0-9]+[eE][+-]?[0-9]+(?![_a-zA-Z0-9])/
INTEGER: /(0x[0-9a-fA-F]+|[0-9]+)(?![_a-zA-Z0-9])/
TEXT.3: /'{3}(?:\\(?s:.)|[^\\])*?'{3}/ | /"{3}(?:\\(?s:.)|[^\\])*?"{3}/
      | /'(?:\\.|[^'\\\r\n])*'/ | /"(?:\\.|[^"\\\r\n])*"/
RAW_TEXT.3: /[rR]'{3}(?s:.)*?'{3}/ | /[rR]"{3}(?s:.)*?"{3}/ | /[rR]'[^'\r\n]*'/ | /[rR]"[^"\r\n]*"/

COMMENT: /\/\/[^\n]*/
WHITE: /[ \t\n\f\r]+/
%ignore COMMENT
%ignore WHITE
"""
