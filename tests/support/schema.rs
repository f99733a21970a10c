//! As much of JSON Schema as `templates/price.schema.json` uses. A word of it that is not known here is a failure, not
//! a rule passed over.

use serde_json::Value;

/// What is wrong with a document, each with the path to it; nothing when it fits.
pub fn problems(schema: &Value, document: &Value) -> Vec<String> {
    let mut found = Vec::new();
    check(schema, schema, document, "$", &mut found);
    found
}

fn check(root: &Value, schema: &Value, value: &Value, at: &str, found: &mut Vec<String>) {
    for (word, rule) in schema.as_object().expect("a schema is an object") {
        match word.as_str() {
            "$schema" | "$defs" | "title" | "description" => {}
            "$ref" => {
                let pointer = rule.as_str().and_then(|r| r.strip_prefix('#')).expect("a reference within the schema");
                check(root, root.pointer(pointer).unwrap_or_else(|| panic!("no {rule}")), value, at, found);
            }
            "type" => {
                let wanted: Vec<&str> = match rule {
                    Value::Array(types) => types.iter().filter_map(Value::as_str).collect(),
                    one => one.as_str().into_iter().collect(),
                };
                if !wanted.contains(&type_of(value)) {
                    found.push(format!("{at}: {value} is no {}", wanted.join(" or ")));
                }
            }
            "const" if value != rule => found.push(format!("{at}: {value} is not {rule}")),
            "enum" if !rule.as_array().unwrap().contains(value) => found.push(format!("{at}: {value} not in {rule}")),
            "const" | "enum" => {}
            "required" => {
                for name in rule.as_array().unwrap().iter().filter_map(Value::as_str) {
                    if value.as_object().is_some_and(|object| !object.contains_key(name)) {
                        found.push(format!("{at}: no {name}"));
                    }
                }
            }
            "properties" => {
                for (name, rule) in rule.as_object().unwrap() {
                    if let Some(value) = value.get(name) {
                        check(root, rule, value, &format!("{at}.{name}"), found);
                    }
                }
            }
            "additionalProperties" => {
                assert_eq!(rule, false);
                let known = schema.get("properties").and_then(Value::as_object).expect("properties");
                for name in value.as_object().into_iter().flat_map(|object| object.keys()) {
                    if !known.contains_key(name) {
                        found.push(format!("{at}: {name} is not in the schema"));
                    }
                }
            }
            "items" => {
                for (index, value) in value.as_array().into_iter().flatten().enumerate() {
                    check(root, rule, value, &format!("{at}[{index}]"), found);
                }
            }
            "oneOf" => {
                let tried: Vec<Vec<String>> = rule
                    .as_array()
                    .unwrap()
                    .iter()
                    .map(|choice| {
                        let mut found = Vec::new();
                        check(root, choice, value, at, &mut found);
                        found
                    })
                    .collect();
                if tried.iter().filter(|found| found.is_empty()).count() != 1 {
                    // The choice that came nearest says most.
                    found.extend(tried.into_iter().min_by_key(Vec::len).unwrap_or_default());
                }
            }
            "pattern" => {
                if let Some(text) = value.as_str()
                    && !is_decimal(text, digits_of(rule.as_str().unwrap()))
                {
                    found.push(format!("{at}: {text} does not fit {rule}"));
                }
            }
            other => panic!("the schema says {other}, which this test does not know"),
        }
    }
}

fn type_of(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "boolean",
        Value::Number(_) => "number",
        Value::String(_) => "string",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
    }
}

/// The decimals that a pattern of plain decimals asks for.
fn digits_of(pattern: &str) -> usize {
    match pattern {
        r"^-?[0-9]+\.[0-9]{2}$" => 2,
        r"^-?[0-9]+\.[0-9]{4}$" => 4,
        other => panic!("the schema has the pattern {other}, which this test does not know"),
    }
}

fn is_decimal(text: &str, decimals: usize) -> bool {
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let text = text.strip_prefix('-').unwrap_or(text);
    text.split_once('.').is_some_and(|(whole, rest)| digits(whole) && digits(rest) && rest.len() == decimals)
}
